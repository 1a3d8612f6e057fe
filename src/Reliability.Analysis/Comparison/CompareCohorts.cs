using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>
/// Compares two cohorts: each fit, the log-rank test, likelihood-ratio tests and ratios of lives. A cohort that cannot be
/// fitted leaves its reason in the answer and does not fail the rest. Safe to use from many threads.
/// </summary>
/// <param name="catalog">The life models on offer.</param>
public sealed class CompareCohorts(ILifeModelCatalog catalog)
{
    private static readonly string[] LikelihoodRatioTests =
        [CohortTestNames.EqualShape, CohortTestNames.EqualScaleGivenShape, CohortTestNames.EqualLife];

    /// <summary>Compares the second cohort with the first.</summary>
    /// <param name="groups">Two cohorts with different names.</param>
    /// <param name="question">What is wanted.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>The comparison.</returns>
    /// <exception cref="RequestRefusedException">The question can never be answered; names the field and the rule.</exception>
    /// <exception cref="OperationCanceledException">The token was cancelled.</exception>
    public ComparisonAnswer Answer(
        IReadOnlyList<ComparisonGroup> groups, ComparisonQuestion question, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(groups);
        ArgumentNullException.ThrowIfNull(question);
        Check(groups);
        FitLives.Check(question.OfEach);
        var model = LifeModelChoice.Find(catalog, question.LifeModel);
        var options = LifeModelChoice.Options(model, question.OfEach);

        IReadOnlyList<LifeSample> samples = [.. groups.Select(g => g.Lives.Sample)];
        var notes = new NoteCollector([]);
        var compared = Compare(model, samples, options, notes, cancellationToken);
        IReadOnlyList<CohortAnswer> cohorts =
        [
            .. groups.Select((g, i) => new CohortAnswer(
                g.Name,
                compared.Fits[i].TryGet(out var fit, out var reason)
                    ? FitLives.Describe(fit, samples[i], catalog.Nonparametric, question.OfEach, cancellationToken)
                    : NoLives.Explained(reason, g.Lives.Summary),
                g.Lives.Summary)),
        ];
        var logRank = catalog.Nonparametric.LogRank(samples, cancellationToken);
        foreach (var effect in compared.Effects)
            notes.Take(effect.Name, effect.Ratio);

        var verdict = VerdictWording.Of(cohorts, compared, logRank, question.ConfidenceLevel);
        if (VerdictIfAmbiguousFailed(groups, model, options, cohorts, question.ConfidenceLevel, cancellationToken) is { } other
            && other.Code != verdict.Code)
        {
            notes.Warn(RecordWarningCodes.OutcomePolicyMatters,
                "Some removals do not say whether the module had failed. Taken as failures at the age of removal instead of survivals "
                + $"they lead to another verdict: {other.Text}");
        }

        VerdictWording.WarnOfCoverage(cohorts, compared, notes);
        ReadingHabits.WarnOfUnequal(groups, notes);
        return new(model.Description, cohorts, [logRank, .. compared.Tests], compared.Effects, verdict, notes.Collected());
    }

    private static void Check(IReadOnlyList<ComparisonGroup> groups)
    {
        if (groups.Count != 2)
            throw new RequestRefusedException(RefusalReasons.OutOfRange, "groups", $"must be two cohorts; got {groups.Count}");
        for (var i = 0; i < groups.Count; i++)
        {
            if (groups[i].Name.Length is 0 or > 100)
                throw new RequestRefusedException(RefusalReasons.OutOfRange, $"groups[{i}].name", "must have 1 to 100 characters");
        }

        if (groups[0].Name == groups[1].Name)
        {
            throw new RequestRefusedException(
                RefusalReasons.OutOfRange, "groups[1].name", "must differ from the first cohort's name");
        }
    }

    private static Compared Compare(
        ILifeModel model, IReadOnlyList<LifeSample> samples, FitOptions options, NoteCollector? notes,
        CancellationToken cancellationToken)
    {
        var objections = samples.Select(s => LifeModelChoice.Objection(model, s)).ToList();
        try
        {
            if (objections.TrueForAll(o => o is null) && model.Description.Capabilities.ComparesCohorts && model is ICohortComparer comparer)
            {
                var comparison = comparer.Compare(samples, options, cancellationToken);
                foreach (var warning in comparison.Warnings)
                    notes?.Warn(warning.Code, warning.Text);
                var missing = MissingReason(comparison.Fits);
                return new(
                    comparison.Fits,
                    [.. LikelihoodRatioTests.Select(name => comparison.Tests.FirstOrDefault(t => t.Name == name) ?? NotMade(name, missing))],
                    [.. comparison.Effects.Where(e => e is { Cohort: 1, Reference: 0, Ratio.Value: not null })]);
            }

            List<Estimable<IFittedLife>> fits =
            [
                .. samples.Select((s, i) => objections[i] is { } objection ? objection : model.Fit(s, options, cancellationToken)),
            ];
            notes?.Warn(AnalysisWarningCodes.NoComparisonByModel,
                $"The life model {model.Description.Id} cannot compare these cohorts: the fits stand alone.");
            var alone = MissingReason(fits);
            return new(fits, [.. LikelihoodRatioTests.Select(name => NotMade(name, alone))], []);
        }
        catch (UnsupportedRequestException refusal)
        {
            throw Refuse.From(refusal);
        }
    }

    private static CohortTest NotMade(string name, NotEstimable reason) => new(name, null, 1, null, reason);

    private static NotEstimable MissingReason(IReadOnlyList<Estimable<IFittedLife>> fits) =>
        fits.Any(f => f.NotEstimable is not null)
            ? new(NotEstimableReasons.CohortNotEstimable, "A cohort has no fit, so the test cannot be made.")
            : new(AnalysisWarningCodes.NoComparisonByModel, "The life model does not make this test.");

    private Verdict? VerdictIfAmbiguousFailed(
        IReadOnlyList<ComparisonGroup> groups, ILifeModel model, FitOptions options, IReadOnlyList<CohortAnswer> cohorts,
        double confidenceLevel, CancellationToken cancellationToken)
    {
        if (groups.All(g => g.Lives.IfAmbiguousFailed is null))
            return null;
        IReadOnlyList<LifeSample> samples = [.. groups.Select(g => g.Lives.IfAmbiguousFailed ?? g.Lives.Sample)];
        return VerdictWording.Of(
            cohorts, Compare(model, samples, options, null, cancellationToken), catalog.Nonparametric.LogRank(samples, cancellationToken),
            confidenceLevel);
    }
}
