using System.CommandLine;
using Reliability.Cli.Connections;
using Reliability.Files.Times;
using Reliability.V1;

namespace Reliability.Cli.Modules;

/// <summary>Lists modules.</summary>
internal sealed class ModulesCommand(CommandContext context)
{
    private const int LargestPage = 1000;

    /// <summary>The command.</summary>
    public Command Create()
    {
        Option<string?> filter = new("--filter")
        {
            Description = "Conditions joined by AND, such as: site = \"Quennick General\" AND state = IN_SERVICE",
        };
        Option<bool> retired = new("--show-retired") { Description = "List modules that are out of use for good as well." };
        ListOptions options = new();
        RevisionOption revision = new();
        RecordTimeOption recordTime = new();
        Command command = new("modules", "List modules with state, age and rated hours.") { filter, retired, revision, recordTime };
        options.AddTo(command);
        return context.Asking(command, async (connection, parse, cancellation) =>
        {
            ListModulesResponse all = new();
            bool more = await PageReader.ReadAsync(options.Limit(parse), LargestPage, async (size, token) =>
            {
                ListModulesRequest request = new()
                {
                    Filter = parse.GetValue(filter) ?? "",
                    PageSize = size,
                    PageToken = token,
                    MinimumRevision = revision.Read(parse),
                    ShowRetired = parse.GetValue(retired),
                    AsOfRecordTime = recordTime.Read(parse, ZoneName.None),
                };
                ListModulesResponse page = await connection.History.ListModulesAsync(request, cancellationToken: cancellation).ConfigureAwait(false);
                all.Modules.Add(page.Modules);
                all.NextPageToken = page.NextPageToken;
                return (page.Modules.Count, page.NextPageToken);
            }).ConfigureAwait(false);
            return context.Answer(parse, all, answer =>
            {
                ModuleTables.WriteList(context.Terminal, answer.Modules);
                ListOptions.TellMore(context.Terminal, more, answer.Modules.Count);
            });
        });
    }
}
