using System.CommandLine;
using Reliability.Cli.Cohorts;
using Reliability.Cli.Connections;
using Reliability.Cli.Terminals;
using Reliability.V1;

namespace Reliability.Cli.Lives;

/// <summary>Lists the lives of a cohort.</summary>
internal sealed class LivesCommand(CommandContext context)
{
    private const int LargestPage = 1000;

    /// <summary>The command.</summary>
    public Command Create()
    {
        CohortOptions cohort = new();
        ListOptions options = new();
        RevisionOption revision = new();
        Option<bool> includedOnly = new("--included-only") { Description = "Leave out lives that are excluded." };
        Option<string?> csv = new("--csv") { Description = "Write all lives of the cohort into this CSV file, whatever the limit." };
        Command command = new("lives", "List the lives of a cohort, excluded ones with their reason.") { includedOnly, revision, csv };
        cohort.AddTo(command);
        options.AddTo(command);
        return context.Asking(command, async (connection, parse, cancellation) =>
        {
            ListLivesResponse all = new();
            Cohort asked = cohort.Read(parse);
            if (parse.GetValue(csv) is string file)
            {
                ExportLivesRequest export = new()
                {
                    Cohort = asked,
                    IncludedOnly = parse.GetValue(includedOnly),
                    MinimumRevision = revision.Read(parse),
                };
                await LifeFile.SaveAsync(connection, export, file, cancellation).ConfigureAwait(false);
                context.Terminal.Line($"Written into {file}");
                return ExitCode.Success;
            }
            bool more = await PageReader.ReadAsync(options.Limit(parse), LargestPage, async (size, token) =>
            {
                ListLivesRequest request = new()
                {
                    Cohort = asked,
                    IncludedOnly = parse.GetValue(includedOnly),
                    PageSize = size,
                    PageToken = token,
                    MinimumRevision = revision.Read(parse),
                };
                ListLivesResponse page = await connection.History.ListLivesAsync(request, cancellationToken: cancellation).ConfigureAwait(false);
                all.Lives.Add(page.Lives);
                all.ExcludedLives.Add(page.ExcludedLives);
                all.NextPageToken = page.NextPageToken;
                return (page.Lives.Count, page.NextPageToken);
            }).ConfigureAwait(false);
            return context.Answer(parse, all, answer =>
            {
                LifeTable.Write(context.Terminal, answer);
                ListOptions.TellMore(context.Terminal, more, answer.Lives.Count);
            });
        });
    }
}
