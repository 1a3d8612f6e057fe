using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Prediction;

/// <summary>
/// Weibull lives of known ages: with S = sum of t^shape - entry^shape over all lives and r failures, S / scale^shape given the shape is
/// Gamma(r), so that v integrates out of likelihood and prediction (Lawless 2003, 4.1, for the pivotal form).
/// </summary>
internal sealed class GammaLayer(LogTimeSample sample) : LocationLayer
{
    private readonly double _failures = sample.TotalFailed;
    private readonly double _sumOfFailures = Sum(sample.FailedX, sample.FailedCount);

    /// <inheritdoc/>
    public override double LogMass(double u) => _failures == 0
        ? 0
        : _failures * Math.Log(u) + u * _sumOfFailures - _failures * LogExposure(u);

    /// <summary>log of the sum of (t / reference)^u - (entry / reference)^u; not a number when there is none.</summary>
    public double LogExposure(double u) => Math.Log(ToEnds(u) - Powers(sample.EntryX, sample.EntryCount, u));

    /// <inheritdoc/>
    public override double LogWatched(double u) => sample.EntryX.Length == 0 ? 0 : LogExposure(u) - Math.Log(ToEnds(u));

    /// <inheritdoc/>
    public override PredictiveLife? Predict(IReadOnlyList<(double U, double Weight)> nodes, double power)
    {
        var mixed = new GammaNode[nodes.Count];
        for (var i = 0; i < mixed.Length; i++)
        {
            var exposure = LogExposure(nodes[i].U);
            if (!double.IsFinite(exposure))
                return null;
            mixed[i] = new(nodes[i].Weight, nodes[i].U, exposure);
        }

        return new GammaPredictiveLife(sample.Axis, mixed, _failures + power);
    }

    private double ToEnds(double u) =>
        Powers(sample.FailedX, sample.FailedCount, u) + Powers(sample.SurvivedX, sample.SurvivedCount, u);

    private static double Sum(ReadOnlySpan<double> x, ReadOnlySpan<double> count)
    {
        double sum = 0;
        for (var i = 0; i < x.Length; i++)
            sum += count[i] * x[i];
        return sum;
    }

    private static double Powers(ReadOnlySpan<double> x, ReadOnlySpan<double> count, double u)
    {
        double sum = 0;
        for (var i = 0; i < x.Length; i++)
            sum += count[i] * Math.Exp(u * x[i]);
        return sum;
    }
}
