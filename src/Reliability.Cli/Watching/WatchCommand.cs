using System.CommandLine;
using Grpc.Core;
using Reliability.Cli.Answers;
using Reliability.Cli.Modules;
using Reliability.Cli.Terminals;
using Reliability.V1;

namespace Reliability.Cli.Watching;

/// <summary>Follows the record.</summary>
internal sealed class WatchCommand(CommandContext context)
{
    /// <summary>The command.</summary>
    public Command Create()
    {
        Option<string?> after = new("--after") { Description = "Begin behind this revision." };
        Option<bool> fromStart = new("--from-start") { Description = "Begin with the first event ever recorded; with what is recorded from now on when absent." };
        Option<string[]> modules = new("--module") { Description = "Only events of this module: its id, or serial:..., udi:... or asset:... May be given several times." };
        Option<string[]> kinds = new("--event") { Description = "Only events of this kind, such as removed. May be given several times." };
        Option<int?> limit = new("--limit") { Description = "End after so many events; what was recorded together comes whole." };
        Command command = new("watch", "Follow the record: every event as it is recorded, until stopped.") { after, fromStart, modules, kinds, limit };
        return context.Asking(command, async (connection, parse, cancellation) =>
        {
            WatchEventsRequest request = new() { AfterRevision = parse.GetValue(after) ?? "" };
            request.FromNow = request.AfterRevision.Length == 0 && !parse.GetValue(fromStart);
            foreach (string module in parse.GetValue(modules) ?? [])
                request.Modules.Add(await ModuleNames.ResolveAsync(connection.History, module, "", cancellation).ConfigureAwait(false));
            request.EventKinds.Add(parse.GetValue(kinds) ?? []);
            long left = parse.GetValue(limit) ?? long.MaxValue;
            string revision = "";
            try
            {
                using AsyncServerStreamingCall<WatchEventsResponse> call = connection.History.WatchEvents(request, cancellationToken: cancellation);
                while (left > 0 && await call.ResponseStream.MoveNext(cancellation).ConfigureAwait(false))
                {
                    WatchEventsResponse message = call.ResponseStream.Current;
                    int taken = 0;
                    // Behind a revision lies all that was recorded with it: to go on from there, its last event must have been written.
                    for (; taken < message.Events.Count && (left > 0 || message.Events[taken].Revision == revision); taken++, left--)
                    {
                        Write(message.Events[taken], parse.GetValue(context.Json));
                        revision = message.Events[taken].Revision;
                    }
                    if (taken == message.Events.Count)
                        revision = message.Revision;
                }
                return ExitCode.Success;
            }
            finally
            {
                if (revision.Length > 0)
                    context.Terminal.Complain($"Go on with: reliability watch --after {revision}{Chosen(request)}");
            }
        });
    }

    private static string Chosen(WatchEventsRequest request) => string.Concat(
        request.Modules.Select(module => " --module " + module.Replace("modules/", "", StringComparison.Ordinal)).Concat(request.EventKinds.Select(kind => " --event " + kind)));

    private void Write(WatchedEvent watched, bool asJson)
    {
        ModuleEvent told = watched.Event;
        context.Terminal.Raw.WriteLine(asJson
            ? JsonAnswer.Line(watched)
            : $"{NumberText.Minute(watched.RecordTime)}  {told.Module}  {EventKind.Of(told)}  {EventText.Of(told)}  {told.Source} {told.EventId}");
        context.Terminal.Raw.Flush();
    }
}
