using Reliability.Engine.Abstractions;
using Reliability.History.Catalogue;
using Reliability.History.Events;
using Reliability.History.Lives;

namespace Reliability.Analysis;

/// <summary>
/// Finds the lives a prediction may rest on, widening by stated steps while failures are too few, and keeps each fit for the
/// next module of the same kind. For one request on one thread.
/// </summary>
internal sealed class CohortFits
{
    /// <summary>Fewer failures than this and the cohort is widened (our own choice: below it, bounds of two parameters mean little).</summary>
    public const int FewestFailures = 5;

    /// <summary>The fewest failures of its own that a scale under a borrowed shape needs. How uncertain the shape is goes into the
    /// prediction; a model that cannot do that borrows from <see cref="FewestFailures"/> at least.</summary>
    private const int FewestForScale = 1;

    private readonly ILifeModel _model;
    private readonly INonparametricEstimator _nonparametric;
    private readonly PredictionQuestion _question;
    private readonly Dictionary<string, List<Life>> _livesByModel;
    private readonly Dictionary<(string ModelId, bool Refurbished, string? Refurbisher), PredictionBasis> _known = [];
    private readonly Dictionary<(string ModelId, bool Refurbished), UsageRate?> _usage = [];

    public CohortFits(ILifeModelCatalog catalog, IEnumerable<Life> lives, PredictionQuestion question)
    {
        _question = question;
        _nonparametric = catalog.Nonparametric;
        _model = LifeModelChoice.Find(catalog, question.LifeModel);
        _ = LifeModelChoice.Options(_model, question.OfFit);
        _livesByModel = lives.GroupBy(l => l.ModelId, StringComparer.Ordinal)
            .ToDictionary(g => g.Key, g => g.ToList(), StringComparer.Ordinal);
    }

    public PredictionBasis For(string modelId, Condition condition, CancellationToken cancellationToken)
    {
        var key = (modelId, condition.RefurbishmentCount > 0, condition.RefurbishmentCount > 0 ? condition.Refurbisher : null);
        if (!_known.TryGetValue(key, out var basis))
            _known[key] = basis = Find(modelId, key.Item2, key.Item3, cancellationToken);
        return basis;
    }

    /// <summary>Hours of use a day of modules of the model and condition class; of all conditions when there are none.</summary>
    public UsageRate? Usage(string modelId, Condition condition)
    {
        var key = (modelId, condition.RefurbishmentCount > 0);
        if (_usage.TryGetValue(key, out var usage))
            return usage;
        var lives = _livesByModel.GetValueOrDefault(modelId) ?? [];
        usage = CohortUsage.Estimate(lives.Where(l => l.Condition.RefurbishmentCount > 0 == key.Item2), _question.ConfidenceLevel)
            ?? CohortUsage.Estimate(lives, _question.ConfidenceLevel);
        return _usage[key] = usage;
    }

    private PredictionBasis Find(string modelId, bool refurbished, string? refurbisher, CancellationToken cancellationToken)
    {
        var cohorts = Cohorts(modelId, refurbished, refurbisher);
        var both = cohorts[^1];
        foreach (var cohort in cohorts)
        {
            if (cohort == both && WithBorrowedShape(modelId, cohorts, cancellationToken) is { } borrowed)
                return borrowed;
            if (cohort.Failures >= FewestFailures && Fit(cohort.Lives.Sample, _question.OfFit, cancellationToken) is { } fit)
            {
                return new(cohort.Selection, cohort.Lives, cohort.Step, $"{cohort.Text}{Because(cohorts, cohort)}.", fit)
                {
                    Predictive = Predict(cohort.Lives.Sample, [], cancellationToken),
                    ConditionsTest = cohort == both ? TestOfConditions(both.Selection, cancellationToken) : null,
                };
            }
        }

        return new(
            cohorts[0].Selection, cohorts[0].Lives, WideningStep.RatedHoursOnly,
            $"No fit, rated hours alone: {string.Join("; ", cohorts.Select(Found))}. "
            + $"{FewestFailures} failures are needed, or one of its own kind and a shape borrowed from others that failed.", null);
    }

    private List<Candidate> Cohorts(string modelId, bool refurbished, string? refurbisher)
    {
        var both = new CohortSelection
        {
            Models = [modelId],
            Derivation = _question.Derivation,
            AsOfRecordTime = _question.AsOfRecordTime,
            IncludeFlagged = _question.IncludeFlagged,
        };
        var sameClass = both with { ConditionClass = refurbished ? ConditionClass.Refurbished : ConditionClass.New };
        var cohorts = new List<Candidate>();
        if (!refurbished)
            cohorts.Add(Sample(sameClass, WideningStep.SameCondition, "New modules of this model"));
        if (refurbisher is not null)
        {
            cohorts.Add(Sample(
                sameClass with { Refurbishers = [refurbisher] }, WideningStep.SameCondition,
                $"Modules of this model refurbished by {refurbisher}"));
        }

        if (refurbished)
            cohorts.Add(Sample(sameClass, WideningStep.AllRefurbishers, "Modules of this model refurbished by anyone"));
        cohorts.Add(Sample(both, WideningStep.BothConditions, "New and refurbished modules of this model together, taken to last equally long"));
        return cohorts;
    }

    private CohortTest TestOfConditions(CohortSelection both, CancellationToken cancellationToken) => _nonparametric.LogRank(
        [
            .. new[] { ConditionClass.New, ConditionClass.Refurbished }.Select(condition => SampleLives.Build(
                _livesByModel.GetValueOrDefault(both.Models[0]) ?? [], both with { ConditionClass = condition }, _question.AsOfTime).Sample),
        ],
        cancellationToken);

    /// <summary>
    /// The shape is whatever the model lets be held and is a pure number: an exponential has none and nothing to borrow.
    /// The narrowest cohort with a failure of its own gives the rest; the model's other lives share the shape, by condition.
    /// </summary>
    private PredictionBasis? WithBorrowedShape(string modelId, List<Candidate> cohorts, CancellationToken cancellationToken)
    {
        var description = _model.Description;
        List<string> shapes =
        [
            .. description.Parameters.Where(p => p.Unit.Length == 0 && description.Capabilities.FixableParameters.Contains(p.Name)).Select(p => p.Name),
        ];
        var lender = cohorts[^1];
        var own = cohorts.Find(c => c.Failures >= FewestForScale);
        if (shapes.Count == 0 || own is null || own.Failures >= lender.Failures
            || Fit(lender.Lives.Sample, _question.OfFit, cancellationToken) is not { } wide)
            return null;

        var held = wide.Parameters.Where(p => shapes.Contains(p.Name) && p.Estimate.Value is not null)
            .ToDictionary(p => p.Name, p => p.Estimate.Value!.Value);
        var offered = description.Capabilities.BoundsMethodsWithFixedParameters;
        var question = _question.OfFit with
        {
            FixedParameters = held,
            BoundsMethod = _question.BoundsMethod is { } method && offered.Contains(method) ? method : null,
        };
        if (held.Count < shapes.Count || Fit(own.Lives.Sample, question, cancellationToken) is not { LogLikelihood: not null } fit)
            return null;
        var predictive = Predict(own.Lives.Sample, Others(modelId, own), cancellationToken);
        if (predictive is null && lender.Failures < FewestFailures)
            return null;
        return new(
            own.Selection, own.Lives, WideningStep.BorrowedShape,
            $"{own.Text}, with {string.Join(", ", held.Select(h => $"{h.Key} {Words.Number(h.Value)}"))} borrowed from new and refurbished "
            + $"modules of this model: {string.Join("; ", cohorts.Select(Found))}, and {FewestFailures} are needed. "
            + (predictive is null ? "It is taken as known." : "How uncertain it is, is in chances and dates; bounds take it as known."),
            fit)
        {
            Predictive = predictive,
        };
    }

    /// <summary>The model's lives outside a cohort, new ones and each refurbisher's apart: they share its shape, not its scale.</summary>
    private List<LifeSample> Others(string modelId, Candidate own)
    {
        var isNew = own.Selection.ConditionClass == ConditionClass.New;
        var isOfOne = own.Selection.Refurbishers.Count > 0;
        return
        [
            .. _livesByModel.GetValueOrDefault(modelId, [])
                .Where(l => l.Condition.RefurbishmentCount == 0 ? !isNew : isNew || (isOfOne && !own.Selection.Refurbishers.Contains(l.Condition.Refurbisher!)))
                .GroupBy(l => l.Condition.RefurbishmentCount == 0 ? string.Empty : l.Condition.Refurbisher ?? "?")
                .OrderBy(g => g.Key, StringComparer.Ordinal)
                .Select(g => SampleLives.Build([.. g], own.Selection with { ConditionClass = default, Refurbishers = [] }, _question.AsOfTime).Sample),
        ];
    }

    private IPredictiveLife? Predict(LifeSample sample, IReadOnlyList<LifeSample> sameShape, CancellationToken cancellationToken) =>
        _model is ILifePredictor predictor && _model.Description.Capabilities.PredictsLives
        && predictor.Predict(sample, sameShape, LifeModelChoice.Options(_model, _question.OfFit), cancellationToken).TryGet(out var life, out _)
            ? life
            : null;

    private IFittedLife? Fit(LifeSample sample, FitQuestion question, CancellationToken cancellationToken) =>
        FitLives.Fit(_model, sample, question, cancellationToken).TryGet(out var fit, out _) ? fit : null;

    private Candidate Sample(CohortSelection selection, WideningStep step, string text) => new(
        selection, step, text,
        SampleLives.Build(_livesByModel.GetValueOrDefault(selection.Models[0]) ?? [], selection, _question.AsOfTime));

    private static string Because(List<Candidate> cohorts, Candidate chosen)
    {
        var passedOver = cohorts.TakeWhile(c => c != chosen).ToList();
        return passedOver.Count == 0
            ? string.Empty
            : $", because {string.Join("; ", passedOver.Select(Found))} could not carry a fit ({FewestFailures} failures are needed)";
    }

    private static string Found(Candidate cohort) =>
        $"{char.ToLowerInvariant(cohort.Text[0])}{cohort.Text[1..]} had {Words.Count(cohort.Failures, "failure", "failures")}";

    private sealed record Candidate(CohortSelection Selection, WideningStep Step, string Text, CohortSample Lives)
    {
        public double Failures => Lives.Sample.FailureCount;
    }
}
