using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>
/// Fits a life model to a sample and asks the fitted life all that a question wants. What a model can do is read from its
/// capabilities, never from its id, so that plugged-in models answer like built-in ones. Safe to use from many threads.
/// </summary>
/// <param name="catalog">The life models on offer.</param>
public sealed class FitLives(ILifeModelCatalog catalog)
{
    /// <summary>Most numbers of one kind that a question may ask for.</summary>
    public const int GreatestQueryCount = 1000;

    /// <summary>Answers a question.</summary>
    /// <param name="lives">The sample.</param>
    /// <param name="question">What is wanted.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>The answer, or why these data allow none.</returns>
    /// <exception cref="RequestRefusedException">The question can never be answered; names the field and the rule.</exception>
    /// <exception cref="OperationCanceledException">The token was cancelled.</exception>
    public Estimable<FitAnswer> Answer(
        CohortSample lives, FitQuestion question, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(lives);
        ArgumentNullException.ThrowIfNull(question);
        Check(question);
        var model = LifeModelChoice.Find(catalog, question.LifeModel);
        return Fit(model, lives.Sample, question, cancellationToken).TryGet(out var fit, out var reason)
            ? Assessed(model, fit, lives.Sample, question, Describe(fit, lives.Sample, catalog.Nonparametric, question, cancellationToken), cancellationToken)
            : NoLives.Explained(reason, lives.Summary);
    }

    /// <summary>What of the question asks how well the model fits.</summary>
    private FitAnswer Assessed(
        ILifeModel model, IFittedLife fit, LifeSample sample, FitQuestion question, FitAnswer answer, CancellationToken cancellationToken)
    {
        var fitTest = question.TestReplicates > 0
            ? BootstrapFitTest.Of(model, fit, sample, catalog.Nonparametric, question.TestReplicates, question.Seed, cancellationToken)
            : null;
        if (fitTest is not null && fitTest.TryGet(out var test, out _) && test.Caution(model.Description.Id) is { } caution)
            answer = answer with { Warnings = [.. answer.Warnings, caution] };
        if (!question.IncludeResiduals)
            return answer with { FitTest = fitTest };
        return CoxSnellResiduals.Of(fit.Family ?? model.Family, fit, sample, catalog.Nonparametric, cancellationToken).TryGet(out var residuals, out var reason)
            ? answer with { FitTest = fitTest, Residuals = residuals }
            : answer with { FitTest = fitTest, Warnings = [.. answer.Warnings, new EngineWarning(reason.Reason, reason.Text)] };
    }

    /// <summary>The fitted life itself, for those who ask it further.</summary>
    internal static Estimable<IFittedLife> Fit(
        ILifeModel model, LifeSample sample, FitQuestion question, CancellationToken cancellationToken)
    {
        var options = LifeModelChoice.Options(model, question);
        if (LifeModelChoice.Objection(model, sample) is { } objection)
            return objection;
        try
        {
            return model.Fit(sample, options, cancellationToken);
        }
        catch (UnsupportedRequestException refusal)
        {
            throw Refuse.From(refusal);
        }
    }

    /// <summary>Checks a question before any work is done for it.</summary>
    internal static void Check(FitQuestion question)
    {
        Refuse.UnlessConfidenceLevel(question.ConfidenceLevel);
        AssessLifeModels.CheckReplicates(question.TestReplicates, "fit_test_replicates");
        Refuse.UnlessAtMost(question.FailureFractions.Count, GreatestQueryCount, "failure_fractions");
        Refuse.UnlessAtMost(question.ReliabilityHours.Count, GreatestQueryCount, "reliability_hours");
        Refuse.UnlessAtMost(question.RemainingLives.Count, GreatestQueryCount, "remaining_life_queries");
        for (var i = 0; i < question.FailureFractions.Count; i++)
            Refuse.UnlessFraction(question.FailureFractions[i], $"failure_fractions[{i}]");
        for (var i = 0; i < question.ReliabilityHours.Count; i++)
            Refuse.UnlessHours(question.ReliabilityHours[i], $"reliability_hours[{i}]");
        for (var i = 0; i < question.RemainingLives.Count; i++)
        {
            var (age, horizons) = question.RemainingLives[i];
            Refuse.UnlessHours(age, $"remaining_life_queries[{i}].age_hours");
            Refuse.UnlessAtMost(horizons.Count, GreatestQueryCount, $"remaining_life_queries[{i}].horizon_hours");
            for (var j = 0; j < horizons.Count; j++)
                Refuse.UnlessHours(horizons[j], $"remaining_life_queries[{i}].horizon_hours[{j}]");
        }
    }

    /// <summary>Asks a fitted life all that a question wants.</summary>
    internal static FitAnswer Describe(
        IFittedLife fit, LifeSample sample, INonparametricEstimator nonparametric, FitQuestion question,
        CancellationToken cancellationToken)
    {
        var notes = new NoteCollector(fit.Warnings);
        foreach (var parameter in fit.Parameters)
            notes.Take(parameter.Name, parameter.Estimate);
        var fractions = question.FailureFractions.Count > 0 ? question.FailureFractions : FitQuestion.UsualFailureFractions;
        return new()
        {
            Model = fit.Model,
            Parameters = fit.Parameters,
            Covariance = fit.Covariance,
            LogLikelihood = fit.LogLikelihood,
            MeanLife = notes.Take("mean life", fit.Mean(cancellationToken)),
            PercentileLives =
            [
                .. fractions.Select(p => new PercentileLife(
                    p, notes.Take(Words.Percentile(p), fit.PercentileLife(p, cancellationToken)))),
            ],
            Reliability =
            [
                .. question.ReliabilityHours.Select(t => new ReliabilityPoint(
                    t, notes.Take($"reliability at {Words.Hours(t)}", fit.Reliability(t, cancellationToken)))),
            ],
            RemainingLives = [.. question.RemainingLives.Select(q => Remaining(fit, q, notes, cancellationToken))],
            GoodnessOfFit = fit.LogLikelihood is { } l
                ? GoodnessOfFit.Of(l, fit.Parameters.Count(p => !p.IsFixed), sample.FailureCount)
                : null,
            BoundsMethod = fit.BoundsMethod,
            ConfidenceLevel = fit.ConfidenceLevel,
            FixedParameters = question.FixedParameters,
            Termination = fit.Plan?.Termination ?? question.Termination,
            Plan = fit.Plan,
            Simulation = fit.Simulation,
            MedianUnbiased = fit.MedianUnbiased(cancellationToken),
            Seed = question.Seed,
            FailureModes = [.. fit.Modes.Select(mode => Mode(mode, fractions, question.ReliabilityHours, notes, cancellationToken))],
            Plot = question.IncludePlot ? FitDrawing.Draw(fit, sample, nonparametric, notes, cancellationToken) : null,
            Warnings = notes.Collected(),
        };
    }

    private static FailureModeAnswer Mode(
        IFittedMode mode, IReadOnlyList<double> fractions, IReadOnlyList<double> hours, NoteCollector notes, CancellationToken cancellationToken)
    {
        var life = mode.Life;
        BoundedEstimate Take(string quantity, BoundedEstimate estimate) => notes.Take($"failure mode {mode.Name}, {quantity}", estimate);
        return new(
            mode.Name,
            mode.IsUnknown,
            mode.FailureCount,
            life.Parameters,
            life.LogLikelihood,
            Take("mean life", life.Mean(cancellationToken)),
            [.. fractions.Select(p => new PercentileLife(p, Take(Words.Percentile(p), life.PercentileLife(p, cancellationToken))))],
            [.. hours.Select(t => (t, mode.Incidence(t, cancellationToken)))]);
    }

    private static RemainingLife Remaining(
        IFittedLife fit, RemainingLifeQuestion question, NoteCollector notes, CancellationToken cancellationToken)
    {
        var age = question.AgeHours;
        return new(
            age,
            [
                .. question.HorizonHours.Select(x => new ReliabilityPoint(
                    x,
                    notes.Take(
                        $"survival of {Words.Hours(x)} after {Words.Hours(age)}",
                        fit.ConditionalReliability(age, x, cancellationToken)))),
            ],
            notes.Take($"median remaining life at {Words.Hours(age)}", fit.RemainingLife(age, 0.5, cancellationToken)),
            notes.Take($"mean remaining life at {Words.Hours(age)}", fit.MeanRemainingLife(age, cancellationToken)));
    }
}
