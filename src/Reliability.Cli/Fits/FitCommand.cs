using System.CommandLine;
using Reliability.Cli.Answers;
using Reliability.Cli.Connections;
using Reliability.Cli.Samples;
using Reliability.Cli.Terminals;
using Reliability.Plots.Probability;
using Reliability.V1;

namespace Reliability.Cli.Fits;

/// <summary>Fits a life model to lives.</summary>
internal sealed class FitCommand(CommandContext context)
{
    private readonly LivesOptions _lives = new();
    private readonly FitOptions _fit = new();
    private readonly RevisionOption _revision = new();
    private readonly PlotOption _plot = new();
    private readonly Option<string[]> _fix = new("--fix") { Description = "A parameter that is known, such as shape=2: for few or no failures." };
    private readonly Option<double[]> _ages = new("--age") { Description = "What is left after this age is wanted. Can be given several times." };
    private readonly Option<double[]> _horizons = new("--horizon") { Description = "With --age: the chance to outlast so many hours more is wanted." };
    private readonly Option<string?> _termination = new("--termination") { Description = "How the study was ended: at a set number of failures, or at set times." };
    private readonly Option<int?> _replicates = new("--replicates") { Description = "Samples that bootstrap bounds simulate; 1999 when absent." };
    private readonly Option<int?> _testReplicates = new("--test-replicates") { Description = "Samples to simulate for a test of the fit, 19 or more, such as 500; none when absent." };
    private readonly Option<bool> _residuals = new("--residuals") { Description = "Cox-Snell residuals are wanted." };
    private readonly Option<long?> _seed = new("--seed") { Description = "The seed of whatever is simulated." };

    /// <summary>The command.</summary>
    public Command Create()
    {
        _termination.AcceptOnlyFromAmong("failure", "time");
        Command command = new("fit", "Fit a life model: mean life, percentile lives, reliability, remaining life, with bounds.");
        _lives.AddTo(command);
        _fit.AddTo(command);
        foreach (Option option in (Option[])[_fix, _ages, _horizons, _termination, _replicates, _testReplicates, _residuals, _seed, _revision, _plot])
            command.Add(option);
        return context.Asking(command, async (connection, parse, cancellation) =>
        {
            string? plot = _plot.Read(parse);
            LivesChoice lives = await _lives.ReadAsync(parse, context.Rows, cancellation).ConfigureAwait(false);
            FitLivesRequest request = Request(parse, lives, plot is not null);
            FitLivesResponse response = await connection.Analysis.FitLivesAsync(request, cancellationToken: cancellation).ConfigureAwait(false);
            if (plot is not null)
                ProbabilityPlot.Save(FitSheets.Of($"{FitTables.ModelName(response.Fit)} fit: {lives.Name}", [new NamedFit(lives.Name, response.Fit)]), plot);
            return context.Answer(parse, response, answer =>
            {
                FitTables.Write(context.Terminal, lives.Name, answer.Fit);
                SampleSummaryText.Write(context.Terminal, answer.SampleSummary);
                if (plot is not null)
                    context.Terminal.Line($"Drawn into {plot}");
            });
        });
    }

    private FitLivesRequest Request(ParseResult parse, LivesChoice lives, bool plot)
    {
        FitLivesRequest request = new()
        {
            LifeModel = _fit.LifeModel(parse),
            BoundsMethod = _fit.Bounds(parse),
            Termination = parse.GetValue(_termination) switch
            {
                "failure" => Termination.Failure,
                "time" => Termination.Time,
                _ => Termination.Unspecified,
            },
            FitTestReplicates = parse.GetValue(_testReplicates) ?? 0,
            IncludeResiduals = parse.GetValue(_residuals),
            IncludePlot = plot,
            MinimumRevision = _revision.Read(parse),
        };
        if (lives.Cohort is not null)
            request.Cohort = lives.Cohort;
        else
            request.Sample = lives.Sample;
        if (_fit.Confidence(parse) is double confidence)
            request.ConfidenceLevel = confidence;
        if (parse.GetValue(_seed) is long seed)
            request.Seed = seed;
        if (parse.GetValue(_replicates) is int replicates)
            request.Replicates = replicates;
        request.FailureFractions.Add(_fit.Fractions(parse));
        request.ReliabilityHours.Add(_fit.AtHours(parse));
        foreach ((string name, double value) in FitOptions.Fixed(parse.GetValue(_fix) ?? []))
            request.FixedParameters.Add(name, value);
        double[] ages = parse.GetValue(_ages) ?? [];
        if (ages.Length == 0 && parse.GetValue(_horizons) is { Length: > 0 })
            throw new UsageException($"{_horizons.Name} asks for hours after an age: give the age by {_ages.Name}.");
        foreach (double age in ages)
            request.RemainingLifeQueries.Add(new RemainingLifeQuery { AgeHours = age, HorizonHours = { parse.GetValue(_horizons) ?? [] } });
        return request;
    }
}
