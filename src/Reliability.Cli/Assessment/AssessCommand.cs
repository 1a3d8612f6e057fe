using System.CommandLine;
using Reliability.Cli.Answers;
using Reliability.Cli.Connections;
using Reliability.Cli.Samples;
using Reliability.V1;
using Spectre.Console;

namespace Reliability.Cli.Assessment;

/// <summary>Puts life models side by side on the same lives.</summary>
internal sealed class AssessCommand(CommandContext context)
{
    private readonly LivesOptions _lives = new();
    private readonly RevisionOption _revision = new();
    private readonly Option<string[]> _models = new("--life-model") { Description = "A life model to assess; all when absent. Can be given several times." };
    private readonly Option<double?> _confidence = new("--confidence") { Description = "The confidence level of the bounds that --json gives, two-sided; 0.95 when absent. The table has no bounds." };
    private readonly Option<int?> _replicates = new("--replicates") { Description = "Samples to simulate for a test of each fit, 19 or more, such as 500; none when absent." };
    private readonly Option<long?> _seed = new("--seed") { Description = "The seed of the simulation." };

    /// <summary>The command.</summary>
    public Command Create()
    {
        Command command = new("assess", "Assess life models side by side: which of them describe these lives, and whether they can be told apart.");
        _lives.AddTo(command);
        foreach (Option option in (Option[])[_models, _confidence, _replicates, _seed, _revision])
            command.Add(option);
        return context.Asking(command, async (connection, parse, cancellation) =>
        {
            LivesChoice lives = await _lives.ReadAsync(parse, context.Rows, cancellation).ConfigureAwait(false);
            AssessLifeModelsRequest request = new() { MinimumRevision = _revision.Read(parse), Replicates = parse.GetValue(_replicates) ?? 0 };
            request.LifeModels.AddRange(parse.GetValue(_models) ?? []);
            if (lives.Cohort is not null)
                request.Cohort = lives.Cohort;
            else
                request.Sample = lives.Sample;
            if (parse.GetValue(_confidence) is double confidence)
                request.ConfidenceLevel = confidence;
            if (parse.GetValue(_seed) is long seed)
                request.Seed = seed;
            AssessLifeModelsResponse response = await connection.Analysis.AssessLifeModelsAsync(request, cancellationToken: cancellation).ConfigureAwait(false);
            return context.Answer(parse, response, answer => Write(lives.Name, answer));
        });
    }

    private void Write(string name, AssessLifeModelsResponse answer)
    {
        context.Terminal.Line($"Life models side by side: {name}.");
        context.Terminal.Line(answer.Verdict);
        Table table = Tables.Of("Life model", "Parameters", "Log-likelihood", "AICc behind", "BIC behind", "B10 life, h", "Mean life, h")
            .Numbers(1, 2, 3, 4, 5, 6);
        // The best first; what has no rank keeps its place behind.
        List<ModelAssessment> models = [.. answer.Models.OrderBy(model => model.HasAiccDifference ? model.AiccDifference : double.PositiveInfinity)];
        foreach (ModelAssessment model in models)
        {
            LifeFit? fit = model.Fit;
            table.Row(
                model.LifeModel, NumberText.Count(model.EstimatedParameters),
                NumberText.Of(fit is { HasLogLikelihood: true } ? fit.LogLikelihood : null),
                NumberText.Of(model.HasAiccDifference ? model.AiccDifference : null),
                NumberText.Of(model.HasBicDifference ? model.BicDifference : null),
                EstimateText.Value(fit?.PercentileLives.FirstOrDefault(life => life.FailureFraction == 0.1)?.Hours),
                EstimateText.Value(fit?.MeanLife));
        }
        context.Terminal.Write(table);
        context.Terminal.Reasons(models.Where(model => model.NotEstimable is not null).Select(model => (model.LifeModel, model.NotEstimable)));

        Table tests = Tables.Of("Life model", "Within", "Chi-square", "Degrees of freedom", "p-value").Numbers(2, 3, 4);
        foreach (NestedModelTest test in answer.Tests)
        {
            tests.Row(
                test.LifeModel, test.WiderLifeModel, NumberText.Statistic(test.HasStatistic ? test.Statistic : null),
                NumberText.Count(test.DegreesOfFreedom), NumberText.PValue(test.HasPValue ? test.PValue : null));
        }
        context.Terminal.Write(tests);

        Table fits = Tables.Of("Life model", "Anderson-Darling", "p-value", "Kolmogorov", "p-value", "Simulated", "Without a fit")
            .Numbers(1, 2, 3, 4, 5, 6);
        foreach (ModelAssessment model in models.Where(model => model.FitTest is not null))
        {
            FitTest test = model.FitTest;
            fits.Row(
                model.LifeModel, NumberText.Of(test.HasAndersonDarling ? test.AndersonDarling : null),
                NumberText.PValue(test.HasAndersonDarlingPValue ? test.AndersonDarlingPValue : null),
                NumberText.Of(test.HasKolmogorov ? test.Kolmogorov : null),
                NumberText.PValue(test.HasKolmogorovPValue ? test.KolmogorovPValue : null),
                NumberText.Count(test.Replicates), NumberText.Count(test.ReplicatesWithoutFit));
        }
        context.Terminal.Write(fits);
        context.Terminal.Reasons(models.Where(model => model.FitTest?.NotEstimable is not null).Select(model => (model.LifeModel, model.FitTest.NotEstimable)));
        if (answer.Models.Select(model => model.FitTest?.CensoringPlan ?? "").FirstOrDefault(plan => plan.Length > 0) is { } how)
            context.Terminal.Line(how);
        context.Terminal.Warnings(answer.Warnings);
        SampleSummaryText.Write(context.Terminal, answer.SampleSummary);
    }
}
