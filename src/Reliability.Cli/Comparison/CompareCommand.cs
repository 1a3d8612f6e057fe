using System.CommandLine;
using Reliability.Cli.Cohorts;
using Reliability.Cli.Connections;
using Reliability.Cli.Fits;
using Reliability.Cli.Samples;
using Reliability.Cli.Terminals;
using Reliability.Plots.Probability;
using Reliability.Plots.Sheets;
using Reliability.V1;

namespace Reliability.Cli.Comparison;

/// <summary>Compares two cohorts.</summary>
internal sealed class CompareCommand(CommandContext context)
{
    private readonly CohortOptions _cohort = new();
    private readonly FitOptions _fit = new();
    private readonly RevisionOption _revision = new();
    private readonly PlotOption _plot = new();
    private readonly Option<string[]> _first = Filter("--first", "condition=new");
    private readonly Option<string[]> _second = Filter("--second", "condition=refurbished");
    private readonly Option<string?> _firstSample = new("--first-sample") { Description = "Take the first lives from this CSV file of plain lives." };
    private readonly Option<string?> _secondSample = new("--second-sample") { Description = "Take the second lives from this CSV file of plain lives." };

    /// <summary>The command.</summary>
    public Command Create()
    {
        Command command = new("compare", "Compare two cohorts, by default refurbished with new: tests, ratios of lives, a verdict.");
        _cohort.AddTo(command);
        _fit.AddTo(command);
        foreach (Option option in (Option[])[_first, _second, _firstSample, _secondSample, _revision, _plot])
            command.Add(option);
        return context.Asking(command, async (connection, parse, cancellation) =>
        {
            string? plot = _plot.Read(parse);
            CompareCohortsRequest request = await RequestAsync(parse, plot is not null, cancellation).ConfigureAwait(false);
            CompareCohortsResponse response = await connection.Analysis.CompareCohortsAsync(request, cancellationToken: cancellation).ConfigureAwait(false);
            if (plot is not null)
                Draw(response, parse, plot);
            return context.Answer(parse, response, answer =>
            {
                ComparisonTables.Write(context.Terminal, answer);
                if (plot is not null)
                    context.Terminal.Line($"Drawn into {plot}");
            });
        });
    }

    private async Task<CompareCohortsRequest> RequestAsync(ParseResult parse, bool plot, CancellationToken cancellation)
    {
        CompareCohortsRequest request = new()
        {
            LifeModel = _fit.LifeModel(parse),
            BoundsMethod = _fit.Bounds(parse),
            IncludePlot = plot,
            MinimumRevision = _revision.Read(parse),
        };
        if (_fit.Confidence(parse) is double confidence)
            request.ConfidenceLevel = confidence;
        request.FailureFractions.Add(_fit.Fractions(parse));
        request.ReliabilityHours.Add(_fit.AtHours(parse));
        Cohort common = _cohort.Read(parse);
        request.Groups.Add(await GroupAsync(parse, common, _firstSample, _first, "condition=new", 0, cancellation).ConfigureAwait(false));
        request.Groups.Add(await GroupAsync(parse, common, _secondSample, _second, "condition=refurbished", 1, cancellation).ConfigureAwait(false));
        if (request.Groups[0].Name == request.Groups[1].Name)
            throw new UsageException($"Both cohorts are \"{request.Groups[0].Name}\". Tell them apart by --first and --second.");
        return request;
    }

    private async Task<CohortGroup> GroupAsync(
        ParseResult parse, Cohort common, Option<string?> sample, Option<string[]> filters, string byDefault, int number, CancellationToken cancellation)
    {
        string[] given = parse.GetValue(filters) ?? [];
        if (parse.GetValue(sample) is string file)
        {
            if (given.Length > 0)
                throw new UsageException($"{sample.Name} takes the lives from a file; {filters.Name} would select lives on record. Give one or the other.");
            (InlineSample lives, string fileName) = await SampleSheet.ReadAsync(file, $"groups[{number}].sample", context.Rows, cancellation).ConfigureAwait(false);
            return new CohortGroup { Name = fileName, Sample = lives };
        }
        string[] used = given.Length > 0 ? given : [byDefault];
        string name = string.Join(", ", used.Select(filter => filter[(filter.IndexOf('=', StringComparison.Ordinal) + 1)..].Trim()));
        return new CohortGroup { Name = name, Cohort = CohortFilters.Narrow(common, used, filters.Name) };
    }

    private void Draw(CompareCohortsResponse answer, ParseResult parse, string file)
    {
        List<NamedFit> fits = [.. answer.Cohorts.Where(cohort => cohort.Fit is not null).Select(cohort => new NamedFit(cohort.Name, cohort.Fit))];
        if (fits.Count == 0)
            throw new PlotException("Neither cohort has a fit, so there is nothing to draw.");
        string common = CohortFilters.Describe(_cohort.Read(parse));
        string names = string.Join(" and ", answer.Cohorts.Select(cohort => cohort.Name));
        ProbabilitySheet sheet = FitSheets.Of(common == "all lives" ? names : $"{common}: {names}", fits);
        ProbabilityPlot.Save(
            sheet with { Notes = [.. sheet.Notes, .. answer.Cohorts.Where(cohort => cohort.NotEstimable is not null).Select(cohort => $"{cohort.Name}: no fit")] },
            file);
    }

    private static Option<string[]> Filter(string name, string byDefault) => new(name)
    {
        Description = $"What sets these lives apart, as name=value ({CohortFilters.Names}); {byDefault} when absent. Can be given several times.",
    };
}
