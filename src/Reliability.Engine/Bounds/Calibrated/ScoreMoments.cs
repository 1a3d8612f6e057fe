using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>
/// Expectations under the fit, over lives stopped by a plan, of products of scores and likelihoods at the fit and at a constrained
/// fit: S = E[s(fit) s(constrained)'], Q = E[s(fit) (l(fit) - l(constrained))], i = E[s(fit) s(fit)'], by (log u, v).
/// Skovgaard (1996).
/// </summary>
internal struct ScoreMoments
{
    private double _s11, _s12, _s21, _s22, _q1, _q2, _i11, _i12, _i22;

    /// <summary>S^-1 Q, about the fit minus the constrained fit.</summary>
    public readonly (double LogU, double V) Difference
    {
        get
        {
            var determinant = _s11 * _s22 - _s12 * _s21;
            return ((_s22 * _q1 - _s12 * _q2) / determinant, (_s11 * _q2 - _s21 * _q1) / determinant);
        }
    }

    /// <summary>|S| / |i|.</summary>
    public readonly double Ratio => (_s11 * _s22 - _s12 * _s21) / (_i11 * _i22 - _i12 * _i12);

    /// <summary>Takes them over a plan.</summary>
    public static ScoreMoments Of(
        IStandardDistribution distribution, CensoringPlan plan, (double U, double V) fit, (double U, double V) constrained)
    {
        var moments = new ScoreMoments();
        double from = 0, left = plan.Weight.Sum();
        for (var k = 0; k < plan.X.Length; k++)
        {
            var z = fit.U * plan.X[k] + fit.V;
            var hazard = double.IsPositiveInfinity(plan.X[k]) ? HazardNodes.Most : Math.Exp(distribution.LogCumulativeHazard(z));
            var to = Math.Min(hazard, HazardNodes.Most);
            foreach (var (at, weight) in HazardNodes.Between(from, to))
                moments.AddFailed(distribution, Math.Log(at), left * weight * Math.Exp(-at), fit, constrained);
            if (hazard < HazardNodes.Most)
                moments.AddStopped(distribution, plan.X[k], plan.Weight[k] * Math.Exp(-hazard), fit, constrained);
            (from, left) = (to, left - plan.Weight[k]);
        }

        return moments;
    }

    private void AddFailed(
        IStandardDistribution distribution, double logHazard, double weight, (double U, double V) fit,
        (double U, double V) constrained)
    {
        var z = distribution.AtLogHazard(logHazard);
        var x = (z - fit.V) / fit.U;
        var zc = constrained.U * x + constrained.V;
        var l = Math.Log(fit.U) + distribution.LogDensity(z, out var slope, out _);
        var lc = Math.Log(constrained.U) + distribution.LogDensity(zc, out var slopeC, out _);
        Add(
            weight, 1 + slope * (z - fit.V), slope, 1 + slopeC * (zc - constrained.V), slopeC, l - lc);
    }

    private void AddStopped(
        IStandardDistribution distribution, double x, double weight, (double U, double V) fit, (double U, double V) constrained)
    {
        var l = distribution.LogSurvival(fit.U * x + fit.V, out var slope, out _);
        var lc = distribution.LogSurvival(constrained.U * x + constrained.V, out var slopeC, out _);
        Add(weight, slope * fit.U * x, slope, slopeC * constrained.U * x, slopeC, l - lc);
    }

    private void Add(double weight, double s1, double s2, double c1, double c2, double difference)
    {
        _s11 += weight * s1 * c1;
        _s12 += weight * s1 * c2;
        _s21 += weight * s2 * c1;
        _s22 += weight * s2 * c2;
        _q1 += weight * s1 * difference;
        _q2 += weight * s2 * difference;
        _i11 += weight * s1 * s1;
        _i12 += weight * s1 * s2;
        _i22 += weight * s2 * s2;
    }
}
