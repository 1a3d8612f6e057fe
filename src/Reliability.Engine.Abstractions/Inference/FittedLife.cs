using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Fitting;

/// <summary>What every fitted life does alike: checks of questions, and the notes of answers that lie beyond the data.</summary>
internal abstract class FittedLife(LifeModelDescription model, LifeSample sample) : IFittedLife
{
    private readonly double _oldestHours = sample.OldestHours;
    private readonly double _totalCount = sample.TotalCount;

    public LifeModelDescription Model { get; } = model;

    public abstract BoundsMethod BoundsMethod { get; }

    public abstract double ConfidenceLevel { get; }

    public abstract IReadOnlyList<ParameterEstimate> Parameters { get; }

    public abstract IReadOnlyList<double> Covariance { get; }

    public abstract double? LogLikelihood { get; }

    public abstract IReadOnlyList<EngineWarning> Warnings { get; }

    public BoundedEstimate Mean(CancellationToken cancellationToken = default)
    {
        var mean = AskMean(cancellationToken);
        return (mean.Value ?? mean.Lower) > _oldestHours ? Beyond(mean) : mean;
    }

    public BoundedEstimate PercentileLife(double failureFraction, CancellationToken cancellationToken = default)
    {
        Questions.CheckFraction(failureFraction);
        var life = AskPercentile(failureFraction, cancellationToken);
        if ((life.Value ?? life.Lower) > _oldestHours)
            return Beyond(life);
        return failureFraction < 1 / (2 * _totalCount)
            ? life with
            {
                Notes = [.. life.Notes, new EngineWarning(
                    WarningCodes.Extrapolation,
                    "The fraction is below 1/(2n): so early a life has hardly been observed, and the answer rests on the model.")],
            }
            : life;
    }

    public BoundedEstimate Reliability(double hours, CancellationToken cancellationToken = default)
    {
        Questions.CheckHours(hours);
        if (hours == 0)
            return Certain();
        var reliability = AskReliability(hours, cancellationToken);
        return hours > _oldestHours ? Beyond(reliability) : reliability;
    }

    public BoundedEstimate ConditionalReliability(
        double ageHours, double horizonHours, CancellationToken cancellationToken = default)
    {
        Questions.CheckHours(ageHours);
        Questions.CheckHours(horizonHours);
        if (ageHours == 0)
            return Reliability(horizonHours, cancellationToken);
        if (horizonHours == 0)
            return Certain();
        var reliability = AskConditionalReliability(ageHours, horizonHours, cancellationToken);
        return ageHours + horizonHours > _oldestHours ? Beyond(reliability) : reliability;
    }

    public BoundedEstimate RemainingLife(
        double ageHours, double failureFraction, CancellationToken cancellationToken = default)
    {
        Questions.CheckHours(ageHours);
        Questions.CheckFraction(failureFraction);
        if (ageHours == 0)
            return PercentileLife(failureFraction, cancellationToken);
        var remaining = AskRemainingLife(ageHours, failureFraction, cancellationToken);
        return ageHours + (remaining.Value ?? remaining.Lower) > _oldestHours ? Beyond(remaining) : remaining;
    }

    public BoundedEstimate MeanRemainingLife(double ageHours, CancellationToken cancellationToken = default)
    {
        Questions.CheckHours(ageHours);
        if (ageHours == 0)
            return Mean(cancellationToken);
        var remaining = AskMeanRemainingLife(ageHours, cancellationToken);
        return ageHours + (remaining.Value ?? remaining.Lower) > _oldestHours ? Beyond(remaining) : remaining;
    }

    public IReadOnlyList<PlotPoint> Curve(IReadOnlyList<double> hours, CancellationToken cancellationToken = default)
    {
        Questions.CheckAges(hours);
        var points = new PlotPoint[hours.Count];
        for (var i = 0; i < points.Length; i++)
        {
            var at = hours[i];
            var failed = AskFailedFraction(at, cancellationToken);
            points[i] = new PlotPoint(
                at, failed, Model.Plot.HoursToAxis(at), AxisOf(failed.Value), AxisOf(failed.Lower), AxisOf(failed.Upper));
        }

        return points;
    }

    private double? AxisOf(double? fraction)
    {
        if (fraction is not (> 0 and < 1))
            return null;
        var position = Model.Plot.FractionToAxis(fraction.Value);
        return double.IsFinite(position) ? position : null;
    }

    protected abstract BoundedEstimate AskMean(CancellationToken cancellationToken);

    protected abstract BoundedEstimate AskPercentile(double fraction, CancellationToken cancellationToken);

    /// <summary>Reliability at an age above 0.</summary>
    protected abstract BoundedEstimate AskReliability(double hours, CancellationToken cancellationToken);

    /// <summary>Failed fraction at an age above 0.</summary>
    protected abstract BoundedEstimate AskFailedFraction(double hours, CancellationToken cancellationToken);

    /// <summary>Conditional reliability, age and horizon above 0.</summary>
    protected abstract BoundedEstimate AskConditionalReliability(double age, double horizon, CancellationToken cancellationToken);

    /// <summary>Remaining life at an age above 0.</summary>
    protected abstract BoundedEstimate AskRemainingLife(double age, double fraction, CancellationToken cancellationToken);

    /// <summary>Mean remaining life at an age above 0.</summary>
    protected abstract BoundedEstimate AskMeanRemainingLife(double age, CancellationToken cancellationToken);

    private static BoundedEstimate Beyond(BoundedEstimate estimate) => estimate with
    {
        Notes = [.. estimate.Notes, new EngineWarning(
            WarningCodes.Extrapolation, "This lies beyond the oldest observed age: the model speaks here, not the data.")],
    };

    private static BoundedEstimate Certain() => new() { Value = 1, Lower = 1, Upper = 1, StandardError = 0 };
}
