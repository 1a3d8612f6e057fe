using System.CommandLine;
using Reliability.V1;

namespace Reliability.Cli.Corrections;

/// <summary>Takes a wrong event back.</summary>
internal sealed class RetractCommand(CommandContext context)
{
    /// <summary>The command.</summary>
    public Command Create()
    {
        WrongEvent wrong = new();
        CorrectionPost post = new(context);
        Command command = new("retract", "Take a wrong event back: it stays in the record and stops counting. Retracting a retraction restores its target.");
        wrong.AddTo(command);
        post.AddTo(command);
        return context.Asking(command, async (connection, parse, cancellation) => await post.PostAsync(
            connection, parse, await wrong.ModuleAsync(connection, parse, cancellation).ConfigureAwait(false), wrong.Source(parse),
            correction => correction.Retracted = new Retracted { TargetSource = wrong.Source(parse), TargetEventId = wrong.EventId(parse) },
            cancellation).ConfigureAwait(false));
    }
}
