using System.CommandLine;
using Google.Protobuf.WellKnownTypes;
using Reliability.Cli.Connections;
using Reliability.Cli.Terminals;
using Reliability.V1;

namespace Reliability.Cli.Corrections;

/// <summary>Posts one correction: the options about the correction itself, and what the service says to it.</summary>
internal sealed class CorrectionPost(CommandContext context)
{
    private readonly Option<string?> _source = new("--source") { Description = "Who corrects; the source of the wrong event when absent." };
    private readonly Option<string?> _id = new("--event-id") { Description = "The id of the correction; a new one when absent. With the same id it can be posted again." };
    private readonly Option<DateTimeOffset?> _time = new("--at") { Description = "When it was put right; now when absent. Needed with --event-id to post again." };

    /// <summary>Adds the options to a command.</summary>
    public void AddTo(Command command)
    {
        command.Add(_source);
        command.Add(_id);
        command.Add(_time);
    }

    /// <summary>Posts, and tells what became of it.</summary>
    public async Task<int> PostAsync(
        ServiceConnection connection, ParseResult parse, string module, string wrongSource, Action<ModuleEvent> correct,
        CancellationToken cancellation)
    {
        ModuleEvent correction = new()
        {
            EventId = parse.GetValue(_id) ?? Guid.CreateVersion7().ToString(),
            Source = parse.GetValue(_source) ?? wrongSource,
            Module = module,
            OccurTime = Timestamp.FromDateTimeOffset(parse.GetValue(_time) ?? DateTimeOffset.UtcNow),
        };
        correct(correction);
        RecordEventsResponse response = await connection.History.RecordEventsAsync(
            new RecordEventsRequest { Events = { correction } }, cancellationToken: cancellation).ConfigureAwait(false);
        RecordEventResult result = response.Results[0];
        if (result.OutcomeCase == RecordEventResult.OutcomeOneofCase.Error && !parse.GetValue(context.Json))
        {
            context.Terminal.Complain(RefusalText.Line(result.Error));
            return ExitCode.Refused;
        }
        context.Answer(parse, response, _ =>
        {
            context.Terminal.Line($"{(result.Receipt.Duplicate ? "Was recorded already" : "Recorded")} as {correction.Source} {correction.EventId}.");
            if (result.Receipt.UnresolvedReason.Length > 0)
                context.Terminal.Line($"It does not count yet: {result.Receipt.UnresolvedReason}.");
            context.Terminal.Line($"Revision: {result.Receipt.Revision}");
        });
        return result.OutcomeCase == RecordEventResult.OutcomeOneofCase.Error ? ExitCode.Refused : ExitCode.Success;
    }
}
