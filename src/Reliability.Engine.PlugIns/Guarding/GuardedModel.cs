using Reliability.Engine.Abstractions;

namespace Reliability.Engine.PlugIns.Guarding;

/// <summary>A plugged-in life model, or one that the engine made of a plugged-in family, whose every answer is checked.</summary>
internal sealed class GuardedModel : ILifeModel, ICohortComparer, ILifePredictor
{
    private readonly ILifeModel _inner;
    private readonly Guard _guard;

    /// <param name="inner">The model. What its properties throw passes.</param>
    /// <param name="plugIn">Where it comes from.</param>
    /// <param name="version">The version that answers carry.</param>
    public GuardedModel(ILifeModel inner, PlugInIdentity plugIn, string version)
    {
        _inner = inner;
        var told = inner.Description;
        _guard = new Guard(told.Id);
        Family = inner.Family is { } family ? GuardedFamily.Of(family) : null;
        Description = told with
        {
            Parameters = [.. told.Parameters],
            Plot = told.Plot is GuardedPlotScale ? told.Plot : new GuardedPlotScale(told.Plot, _guard),
            Version = version,
            PlugIn = plugIn,
            Capabilities = told.Capabilities with
            {
                ComparesCohorts = told.Capabilities.ComparesCohorts && inner is ICohortComparer,
                PredictsLives = told.Capabilities.PredictsLives && inner is ILifePredictor,
            },
        };
    }

    public LifeModelDescription Description { get; }

    public ILifeFamily? Family { get; }

    public Estimable<IFittedLife> Fit(LifeSample sample, FitOptions options, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(sample);
        Description.Check(options);
        cancellationToken.ThrowIfCancellationRequested();
        return Fitted(_guard.Run("fit", () => _inner.Fit(sample, options, cancellationToken), cancellationToken), options, cancellationToken);
    }

    public CohortComparison Compare(
        IReadOnlyList<LifeSample> cohorts, FitOptions options, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(cohorts);
        Description.Check(options);
        if (_inner is not ICohortComparer comparer)
            throw _guard.Failed("it does not compare cohorts");
        var comparison = _guard.Run("comparison", () => comparer.Compare(cohorts, options, cancellationToken), cancellationToken);
        if (comparison.Fits?.Count != cohorts.Count || comparison.CommonFit is null || comparison.Tests is null || comparison.Effects is null || comparison.Warnings is null)
            throw _guard.Failed($"its comparison has not the fits of {cohorts.Count} cohorts");
        foreach (var test in comparison.Tests)
        {
            if (test.Statistic is { } statistic && !(double.IsFinite(statistic) && test.PValue is >= 0 and <= 1))
                throw _guard.Failed($"its test {test.Name} has no finite statistic with a p-value between 0 and 1");
        }

        foreach (var effect in comparison.Effects)
            GuardedFit.Check(_guard, "ratio of lives", effect.Ratio, 0, double.PositiveInfinity);
        return comparison with
        {
            Fits = [.. comparison.Fits.Select(fit => Fitted(fit, options, cancellationToken))],
            CommonFit = Fitted(comparison.CommonFit, options, cancellationToken),
        };
    }

    public Estimable<IPredictiveLife> Predict(
        LifeSample sample, IReadOnlyList<LifeSample> sameShape, FitOptions options, CancellationToken cancellationToken = default)
    {
        if (_inner is not ILifePredictor predictor)
            throw _guard.Failed("it does not predict lives");
        return _guard.Run("prediction", () => predictor.Predict(sample, sameShape, options, cancellationToken), cancellationToken)
            .TryGet(out var life, out var reason)
            ? Estimable<IPredictiveLife>.Of(new GuardedPredictiveLife(life, _guard))
            : Reason(reason);
    }

    private Estimable<IFittedLife> Fitted(Estimable<IFittedLife> fit, FitOptions options, CancellationToken cancellationToken)
    {
        if (fit is null)
            throw _guard.Failed("its fit answered nothing");
        return fit.TryGet(out var life, out var reason)
            ? Estimable<IFittedLife>.Of(GuardedFit.Of(life, Description, Family, options.ConfidenceLevel, _guard, cancellationToken))
            : Reason(reason);
    }

    private NotEstimable Reason(NotEstimable reason) =>
        string.IsNullOrWhiteSpace(reason.Reason) || string.IsNullOrWhiteSpace(reason.Text)
            ? throw _guard.Failed("it gives no fit and no reason")
            : reason;
}
