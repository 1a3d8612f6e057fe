using System.CommandLine;
using Reliability.Cli.Cohorts;
using Reliability.Cli.Terminals;
using Reliability.V1;

namespace Reliability.Cli.Samples;

/// <summary>The options that say which lives a question is about: a cohort on record, or a sheet of plain lives.</summary>
internal sealed class LivesOptions
{
    private readonly CohortOptions _cohort = new();

    private readonly Option<string?> _sample = new("--sample")
    {
        Description = "Ask about the plain lives of this CSV file instead of lives on record.",
    };

    /// <summary>Adds the options to a command.</summary>
    public void AddTo(Command command)
    {
        _cohort.AddTo(command);
        command.Add(_sample);
    }

    /// <summary>What was asked for.</summary>
    /// <param name="parse">The command line.</param>
    /// <param name="rows">Gets where observations stand in their file.</param>
    /// <param name="cancellation">Stops reading.</param>
    /// <exception cref="UsageException">Both forms were given, or one is malformed.</exception>
    public async Task<LivesChoice> ReadAsync(ParseResult parse, SheetRows rows, CancellationToken cancellation)
    {
        if (parse.GetValue(_sample) is not string file)
        {
            Cohort cohort = _cohort.Read(parse);
            return new LivesChoice(CohortFilters.Describe(cohort), cohort, null);
        }
        List<string> given = [.. _cohort.Given(parse)];
        if (given.Count > 0)
            throw new UsageException($"--sample takes the lives from a file; {string.Join(", ", given)} would select lives on record. Give one or the other.");
        (InlineSample sample, string name) = await SampleSheet.ReadAsync(file, "sample", rows, cancellation).ConfigureAwait(false);
        return new LivesChoice(name, null, sample);
    }
}
