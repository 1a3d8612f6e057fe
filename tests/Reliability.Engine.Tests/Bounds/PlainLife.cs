using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Tests.Bounds;

/// <summary>Answers of a distribution at given parameters from textbook formulas, without bounds.</summary>
internal sealed class PlainLife(ILifeModel model, double[] parameters) : IFittedLife
{
    public LifeModelDescription Model => model.Description;

    public BoundsMethod BoundsMethod => BoundsMethod.LikelihoodRatio;

    public double ConfidenceLevel => 0.95;

    public IReadOnlyList<ParameterEstimate> Parameters => [];

    public IReadOnlyList<double> Covariance => [];

    public double? LogLikelihood => null;

    public IReadOnlyList<EngineWarning> Warnings => [];

    public BoundedEstimate Mean(CancellationToken cancellationToken = default) =>
        Value(model.Family!.Mean(parameters)!.Value);

    public BoundedEstimate PercentileLife(double failureFraction, CancellationToken cancellationToken = default) =>
        Value(Quantile(failureFraction));

    public BoundedEstimate Reliability(double hours, CancellationToken cancellationToken = default) =>
        Value(Survival(hours));

    public BoundedEstimate ConditionalReliability(
        double ageHours, double horizonHours, CancellationToken cancellationToken = default) =>
        Value(Math.Exp(LogSurvival(ageHours + horizonHours) - LogSurvival(ageHours)));

    public BoundedEstimate RemainingLife(
        double ageHours, double failureFraction, CancellationToken cancellationToken = default)
    {
        var target = LogSurvival(ageHours) + Math.Log(1 - failureFraction);
        double low = ageHours, high = 2 * ageHours;
        while (LogSurvival(high) > target && high < 1e300)
            high *= 2;
        for (var i = 0; i < 120; i++)
        {
            var middle = (low + high) / 2;
            if (LogSurvival(middle) > target)
                low = middle;
            else
                high = middle;
        }

        return Value(low - ageHours);
    }

    /// <summary>Integral of R(age + x) / R(age) over x, on x = e^y by the trapezoidal rule.</summary>
    public BoundedEstimate MeanRemainingLife(double ageHours, CancellationToken cancellationToken = default)
    {
        var age = LogSurvival(ageHours);
        double sum = 0;
        const double Step = 1.0 / 16;
        for (var y = Math.Log(ageHours) - 20; y < Math.Log(ageHours) + 40; y += Step)
        {
            var term = Math.Exp(LogSurvival(ageHours + Math.Exp(y)) - age + y) * Step;
            sum += term;
            if (term < 1e-14 * sum && sum > 0 && y > Math.Log(ageHours) - 15)
                break;
        }

        return Value(sum);
    }

    public IReadOnlyList<PlotPoint> Curve(IReadOnlyList<double> hours, CancellationToken cancellationToken = default) => [];

    private static BoundedEstimate Value(double value) => new() { Value = value };

    private double Survival(double hours) => Math.Exp(LogSurvival(hours));

    private double LogSurvival(double hours)
    {
        Span<double> result = stackalloc double[1];
        model.Family!.LogSurvival(parameters, [hours], result);
        return result[0];
    }

    private double Quantile(double fraction)
    {
        Span<double> result = stackalloc double[1];
        model.Family!.Quantile(parameters, [fraction], result);
        return result[0];
    }
}
