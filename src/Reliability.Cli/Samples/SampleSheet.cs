using System.Runtime.CompilerServices;
using Reliability.Cli.Files;
using Reliability.Cli.Terminals;
using Reliability.Files;
using Reliability.Files.LifeFiles;
using Reliability.Files.Lines;
using Reliability.Files.Sheets;
using Reliability.V1;

namespace Reliability.Cli.Samples;

/// <summary>
/// A sheet of plain lives for a question asked once: outcome (failed, survived, between), hours, lower_hours,
/// upper_hours, entry_hours, count, failure_mode. Nothing of it is recorded. A file of exported lives is one too: lives that
/// it says are left out of samples are left out here, and its columns of provenance are passed over.
/// </summary>
internal static class SampleSheet
{
    private const int ProblemsShown = 20;

    private static readonly string[] Needed = ["outcome"];
    private static readonly string[] Values = ["outcome", "hours", "lower_hours", "upper_hours", "entry_hours", "count", "failure_mode"];
    private static readonly string[] Provenance = [.. ExportedLives.Columns.Except(Values)];

    /// <summary>Reads a sheet.</summary>
    /// <param name="path">The file.</param>
    /// <param name="field">The sample's field in the request, such as "sample".</param>
    /// <param name="rows">Gets where each observation stands in the file.</param>
    /// <param name="cancellation">Stops reading.</param>
    /// <returns>The lives, and what they are called on tables and plots: the file's name, with how many of it are left out.</returns>
    /// <exception cref="UsageException">The file cannot be used; the message names lines and columns.</exception>
    /// <exception cref="FileUnusableException">Its header does not fit.</exception>
    public static async Task<(InlineSample Sample, string Name)> ReadAsync(
        string path, string field, SheetRows rows, CancellationToken cancellation)
    {
        SourceLines lines = new(TextFile.Check(path).Open(), path);
        await using ConfiguredAsyncDisposable closing = lines.ConfigureAwait(false);
        CsvSheet sheet = await CsvSheet.OpenAsync(lines, cancellation).ConfigureAwait(false);
        sheet.CheckColumns("a sheet of plain lives", Needed, [.. Values, .. Provenance]);
        InlineSample sample = new();
        List<string> problems = [];
        List<long> numbers = [];
        int leftOut = 0;
        await foreach (CsvRow row in sheet.RowsAsync(cancellation).ConfigureAwait(false))
        {
            RowFields fields = new(row);
            if (fields.Text(ExportedLives.ExclusionColumn) is not null && row.Problem is null)
            {
                leftOut++;
                continue;
            }
            foreach (string column in Provenance)
                fields.Text(column);
            LifeObservation observation = Observation(fields);
            problems.AddRange(fields.Problems.Select(problem => $"{path}: line {row.Line}: {problem}"));
            sample.Observations.Add(observation);
            numbers.Add(row.Line);
        }
        if (problems.Count > 0)
        {
            string rest = problems.Count > ProblemsShown ? $"\nand {problems.Count - ProblemsShown} more" : "";
            throw new UsageException(string.Join('\n', problems.Take(ProblemsShown)) + rest);
        }
        rows.Add(field + ".observations", path, numbers);
        return sample.Observations.Count > 0
            ? (sample, Path.GetFileNameWithoutExtension(path) + (leftOut > 0 ? $" ({leftOut} excluded left out)" : ""))
            : throw new UsageException(leftOut > 0
                ? $"{path}: the file says of every life why it is left out of samples (column {ExportedLives.ExclusionColumn})."
                : $"{path}: there are no rows below the header.");
    }

    private static LifeObservation Observation(RowFields fields)
    {
        LifeObservation observation = new();
        LifeOutcome? outcome = fields.Needed("outcome").Length == 0 ? null : fields.Word<LifeOutcome>("outcome");
        switch (outcome)
        {
            case LifeOutcome.Failed:
                observation.FailureHours = fields.NeededNumber("hours");
                break;
            case LifeOutcome.Survived:
                observation.SurvivalHours = fields.NeededNumber("hours");
                break;
            case LifeOutcome.Between:
                observation.FailureInterval = new HoursInterval
                {
                    LowerHours = fields.NeededNumber("lower_hours"),
                    UpperHours = fields.NeededNumber("upper_hours"),
                };
                break;
        }
        observation.EntryHours = fields.Number("entry_hours") ?? 0;
        if (fields.Whole("count") is int count)
            observation.Count = count;
        observation.FailureMode = fields.Text("failure_mode") ?? "";
        if (outcome is not null)
            fields.RefuseUnused($"a life that {(outcome == LifeOutcome.Between ? "failed between two ages" : ContractWords.Of(outcome.Value))}");
        return observation;
    }
}
