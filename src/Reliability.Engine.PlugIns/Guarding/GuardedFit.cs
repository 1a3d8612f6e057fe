using Reliability.Engine.Abstractions;

namespace Reliability.Engine.PlugIns.Guarding;

/// <summary>
/// A plugged-in model's fitted life whose every answer is checked: no NaN, no infinity, bounds in order, probabilities between 0 and 1,
/// percentile lives that do not go back, as many numbers as there are parameters.
/// </summary>
internal sealed class GuardedFit : IFittedLife
{
    private readonly IFittedLife _inner;
    private readonly Guard _guard;
    private readonly double _leastLife;

    private GuardedFit(IFittedLife inner, LifeModelDescription model, ILifeFamily? family, double confidenceLevel, Guard guard)
    {
        (_inner, _guard, Model) = (inner, guard, model);
        BoundsMethod = inner.BoundsMethod;
        ConfidenceLevel = inner.ConfidenceLevel;
        Parameters = [.. inner.Parameters];
        Covariance = [.. inner.Covariance];
        LogLikelihood = inner.LogLikelihood;
        Family = inner.Family is { } own ? GuardedFamily.Of(own) : null;
        Modes = [.. inner.Modes.Select(mode => new GuardedMode(mode, new GuardedFit(mode.Life, mode.Life.Model, null, confidenceLevel, guard), guard))];
        Plan = inner.Plan;
        Simulation = inner.Simulation;
        Warnings = [.. inner.Warnings];
        _leastLife = (Family ?? family) is { HasNegativeLives: true } ? double.NegativeInfinity : 0;
        Check(Family ?? family, confidenceLevel);
    }

    /// <summary>Guards a fit, and looks at it from end to end once.</summary>
    public static GuardedFit Of(
        IFittedLife inner, LifeModelDescription model, ILifeFamily? family, double confidenceLevel, Guard guard, CancellationToken cancellationToken)
    {
        var fit = guard.Run("fit", () => new GuardedFit(inner, model, family, confidenceLevel, guard), cancellationToken);
        if ((fit.Family ?? family) is GuardedFamily shown && fit.Parameters.All(p => p.Estimate.Value is not null))
        {
            shown.Probe([.. fit.Parameters.Select(p => p.Estimate.Value!.Value)]);
        }
        else
        {
            var before = double.NegativeInfinity;
            foreach (var fraction in (double[])[0.1, 0.5, 0.9])
            {
                if (fit.PercentileLife(fraction, cancellationToken).Value is not { } hours)
                    continue;
                if (hours < before)
                    throw guard.Failed($"its percentile lives go back: {Guard.Text(hours)} h at {Guard.Text(fraction)} failed after {Guard.Text(before)} h");
                before = hours;
            }
        }

        return fit;
    }

    public LifeModelDescription Model { get; }

    public BoundsMethod BoundsMethod { get; }

    public double ConfidenceLevel { get; }

    public IReadOnlyList<ParameterEstimate> Parameters { get; }

    public IReadOnlyList<double> Covariance { get; }

    public double? LogLikelihood { get; }

    public ILifeFamily? Family { get; }

    public IReadOnlyList<IFittedMode> Modes { get; }

    public ObservationPlan? Plan { get; }

    public SimulatedBounds? Simulation { get; }

    public IReadOnlyList<EngineWarning> Warnings { get; }

    public IReadOnlyDictionary<string, double> MedianUnbiased(CancellationToken cancellationToken = default)
    {
        var corrected = _guard.Run("corrected parameters", () => _inner.MedianUnbiased(cancellationToken), cancellationToken);
        foreach (var (name, value) in corrected)
            _guard.Finite(value, $"corrected {name}");
        return corrected;
    }

    public BoundedEstimate Mean(CancellationToken cancellationToken = default) =>
        Life("mean life", () => _inner.Mean(cancellationToken), cancellationToken);

    public BoundedEstimate PercentileLife(double failureFraction, CancellationToken cancellationToken = default)
    {
        Questions.CheckFraction(failureFraction);
        return Life("percentile life", () => _inner.PercentileLife(failureFraction, cancellationToken), cancellationToken);
    }

    public BoundedEstimate Reliability(double hours, CancellationToken cancellationToken = default)
    {
        Questions.CheckHours(hours);
        return Probability("reliability", () => _inner.Reliability(hours, cancellationToken), cancellationToken);
    }

    public BoundedEstimate ConditionalReliability(double ageHours, double horizonHours, CancellationToken cancellationToken = default)
    {
        Questions.CheckHours(ageHours);
        Questions.CheckHours(horizonHours);
        return Probability("conditional reliability", () => _inner.ConditionalReliability(ageHours, horizonHours, cancellationToken), cancellationToken);
    }

    public BoundedEstimate RemainingLife(double ageHours, double failureFraction, CancellationToken cancellationToken = default)
    {
        Questions.CheckHours(ageHours);
        Questions.CheckFraction(failureFraction);
        return Life("remaining life", () => _inner.RemainingLife(ageHours, failureFraction, cancellationToken), cancellationToken);
    }

    public BoundedEstimate MeanRemainingLife(double ageHours, CancellationToken cancellationToken = default)
    {
        Questions.CheckHours(ageHours);
        return Life("mean remaining life", () => _inner.MeanRemainingLife(ageHours, cancellationToken), cancellationToken);
    }

    public IReadOnlyList<PlotPoint> Curve(IReadOnlyList<double> hours, CancellationToken cancellationToken = default)
    {
        Questions.CheckAges(hours);

        var points = _guard.Run("curve", () => _inner.Curve(hours, cancellationToken), cancellationToken);
        if (points.Count != hours.Count)
            throw _guard.Failed($"its curve has {points.Count} points for {hours.Count} ages");
        foreach (var point in points)
        {
            if (point is null)
                throw _guard.Failed("its curve has an empty point");
            Check(_guard, "failed fraction", point.FailedFraction, 0, 1);
            foreach (var position in (ReadOnlySpan<double>)[point.AxisHours, point.AxisFraction ?? 0, point.AxisLower ?? 0, point.AxisUpper ?? 0])
                _guard.Finite(position, "position on an axis");
        }

        return points;
    }

    /// <summary>Throws for an estimate that cannot be.</summary>
    public static BoundedEstimate Check(Guard guard, string what, BoundedEstimate? estimate, double least, double greatest)
    {
        if (estimate is not { Notes: not null })
            throw guard.Failed($"its {what} is empty");
        foreach (var number in (ReadOnlySpan<double?>)[estimate.Value, estimate.Lower, estimate.Upper])
        {
            if (number is { } x && !(double.IsFinite(x) && x >= least && x <= greatest))
                throw guard.Failed($"its {what} is {Guard.Text(x)}");
        }

        if (estimate.StandardError is { } error && !(double.IsFinite(error) && error >= 0))
            throw guard.Failed($"its standard error of the {what} is {Guard.Text(error)}");
        if (estimate.Lower > estimate.Upper)
            throw guard.Failed($"its lower bound of the {what} lies above the upper one");
        return estimate.HoldsItsValue
            ? estimate
            : throw guard.Failed(
                $"its bounds of the {what} do not hold its value: {Bound(estimate.Lower)}, {Bound(estimate.Value)}, {Bound(estimate.Upper)}");
    }

    private static string Bound(double? number) => number is { } some ? Guard.Text(some) : "none";

    private BoundedEstimate Life(string what, Func<BoundedEstimate> ask, CancellationToken cancellationToken) =>
        Check(_guard, what, _guard.Run(what, ask, cancellationToken), _leastLife, double.PositiveInfinity);

    private BoundedEstimate Probability(string what, Func<BoundedEstimate> ask, CancellationToken cancellationToken) =>
        Check(_guard, what, _guard.Run(what, ask, cancellationToken), 0, 1);

    private void Check(ILifeFamily? family, double confidenceLevel)
    {
        var described = family?.Parameters ?? Model.Parameters;
        if (!Model.Capabilities.FitsFailureModes && !Parameters.Select(p => p.Name).SequenceEqual(described.Select(p => p.Name)))
            throw _guard.Failed($"its fit has not the parameters {string.Join(", ", described.Select(p => p.Name))}, in this order");
        for (var k = 0; k < Parameters.Count; k++)
        {
            Check(_guard, $"parameter {Parameters[k].Name}", Parameters[k].Estimate, double.NegativeInfinity, double.PositiveInfinity);
            if (k < described.Count && Parameters[k].Estimate.Value is { } value && !described[k].Allows(value))
                throw _guard.Failed($"its parameter {Parameters[k].Name} is {Guard.Text(value)}, outside of its domain");
        }

        if (Covariance.Count != 0 && Covariance.Count != Parameters.Count * Parameters.Count)
            throw _guard.Failed($"its covariance has {Covariance.Count} numbers for {Parameters.Count} parameters");
        foreach (var number in Covariance)
            _guard.Finite(number, "covariance");
        if (LogLikelihood is { } likelihood)
            _guard.Finite(likelihood, "log-likelihood");
        if (ConfidenceLevel != confidenceLevel)
            throw _guard.Failed($"its confidence level is {Guard.Text(ConfidenceLevel)} where {Guard.Text(confidenceLevel)} was asked");
    }
}
