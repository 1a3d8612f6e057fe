using System.CommandLine;
using Google.Protobuf.WellKnownTypes;
using Reliability.Cli.Answers;
using Reliability.Cli.Connections;
using Reliability.Cli.Terminals;
using Reliability.Files.Times;
using Reliability.V1;

namespace Reliability.Cli.Modules;

/// <summary>Shows a module: its state and its record.</summary>
internal sealed class ModuleCommand(CommandContext context)
{
    private const int LargestPage = 1000;

    /// <summary>The command.</summary>
    public Command Create()
    {
        Argument<string> id = new("ID") { Description = "The module's id, or serial:..., udi:... or asset:..." };
        ListOptions options = new();
        RevisionOption revision = new();
        RecordTimeOption recordTime = new();
        Command command = new("module", "Show a module's state and record.") { id, revision, recordTime };
        options.AddTo(command);
        return context.Asking(command, async (connection, parse, cancellation) =>
        {
            string minimum = revision.Read(parse);
            Timestamp? asOf = recordTime.Read(parse, ZoneName.None);
            string name = await ModuleNames.ResolveAsync(connection.History, parse.GetRequiredValue(id), minimum, cancellation).ConfigureAwait(false);
            Module module = await connection.History.GetModuleAsync(
                new GetModuleRequest { Name = name, MinimumRevision = minimum, AsOfRecordTime = asOf }, cancellationToken: cancellation).ConfigureAwait(false);
            ListModuleEventsResponse record = new();
            bool more = await PageReader.ReadAsync(options.Limit(parse), LargestPage, async (size, token) =>
            {
                ListModuleEventsResponse page = await connection.History.ListModuleEventsAsync(
                    new ListModuleEventsRequest { Parent = name, PageSize = size, PageToken = token, MinimumRevision = minimum, AsOfRecordTime = asOf },
                    cancellationToken: cancellation).ConfigureAwait(false);
                record.Events.Add(page.Events);
                record.NextPageToken = page.NextPageToken;
                return (page.Events.Count, page.NextPageToken);
            }).ConfigureAwait(false);
            if (parse.GetValue(context.Json))
            {
                // One document: the module, and its record as ListModuleEvents gives it.
                context.Terminal.Raw.WriteLine($"{{\n\"module\": {JsonAnswer.Of(module)},\n\"record\": {JsonAnswer.Of(record)}\n}}");
                return ExitCode.Success;
            }
            ModuleTables.Write(context.Terminal, module);
            RecordTable.Write(context.Terminal, record.Events);
            ListOptions.TellMore(context.Terminal, more, record.Events.Count);
            return ExitCode.Success;
        });
    }
}
