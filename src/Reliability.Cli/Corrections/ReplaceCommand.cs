using System.CommandLine;
using Google.Protobuf;
using Reliability.Cli.Terminals;
using Reliability.V1;

namespace Reliability.Cli.Corrections;

/// <summary>Puts the right event in the place of a wrong one.</summary>
internal sealed class ReplaceCommand(CommandContext context)
{
    /// <summary>The command.</summary>
    public Command Create()
    {
        WrongEvent wrong = new();
        CorrectionPost post = new(context);
        Option<string> right = new("--with")
        {
            Description = "The right event as JSON: its occurTime and what happened, as in a line of a file of events, such as {\"occurTime\": \"2024-05-01T08:00:00Z\", \"failed\": {\"readingHours\": 180}}",
            Required = true,
        };
        Command command = new("replace", "Put the right event in the place of a wrong one, which stays in the record and stops counting.") { right };
        wrong.AddTo(command);
        post.AddTo(command);
        return context.Asking(command, async (connection, parse, cancellation) =>
        {
            ModuleEvent told = Read(parse.GetRequiredValue(right));
            return await post.PostAsync(
                connection, parse, await wrong.ModuleAsync(connection, parse, cancellation).ConfigureAwait(false), wrong.Source(parse),
                correction => correction.Replaced = new Replaced
                {
                    TargetSource = wrong.Source(parse),
                    TargetEventId = wrong.EventId(parse),
                    Event = told,
                },
                cancellation).ConfigureAwait(false);
        });
    }

    private static ModuleEvent Read(string json)
    {
        try
        {
            return JsonParser.Default.Parse<ModuleEvent>(json);
        }
        catch (Exception problem) when (problem is InvalidProtocolBufferException or InvalidJsonException)
        {
            throw new UsageException($"--with: not an event in JSON ({problem.Message})");
        }
    }
}
