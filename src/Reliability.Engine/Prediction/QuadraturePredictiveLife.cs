using Reliability.Engine.Kernels;
using Reliability.Engine.LocationScale;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Prediction;

/// <summary>Conditional reliability mixed over nodes of (u, v).</summary>
internal sealed class QuadraturePredictiveLife : PredictiveLife
{
    // From here on a difference of two log S leaves ten digits of a chance.
    private const double LeastChance = 1e-6;

    private readonly LogTimeLikelihood _likelihood;
    private readonly double[] _weights, _u, _v;

    public QuadraturePredictiveLife(LogTimeLikelihood likelihood, IReadOnlyCollection<(double Weight, double U, double V)> nodes)
        : base(likelihood.Sample.Axis)
    {
        _likelihood = likelihood;
        _weights = [.. nodes.Select(node => node.Weight)];
        _u = [.. nodes.Select(node => node.U)];
        _v = [.. nodes.Select(node => node.V)];
    }

    /// <inheritdoc/>
    protected override Func<double, double, double> Mix(double ageX, bool ofFailure)
    {
        double[] before = new double[_u.Length], after = new double[_u.Length];
        if (!double.IsNegativeInfinity(ageX))
            _likelihood.LogSurvivals(_u, _v, ageX, before);
        double lost = 1;
        for (var i = 0; i < before.Length; i++)
            lost -= _weights[i] * before[i];
        return (endX, widthX) =>
        {
            _likelihood.LogSurvivals(_u, _v, endX, after);
            var (survive, fail) = MixtureKernels.Chances(_weights, before, after);
            var chance = ofFailure ? fail : survive;

            // Also where something is no number.
            return fail > LeastChance * lost && chance < double.PositiveInfinity ? chance : OneByOne(ageX, endX, widthX, ofFailure);
        };
    }

    private double OneByOne(double ageX, double endX, double widthX, bool ofFailure)
    {
        double sum = 0;
        for (var i = 0; i < _u.Length; i++)
        {
            var (u, v) = (_u[i], _v[i]);
            var from = double.IsNegativeInfinity(ageX) ? ageX : u * ageX + v;
            var hazard = _likelihood.Distribution.LogHazardBetween(from, u * endX + v, u * widthX);

            // Not a number: two hazards that rounding puts in the wrong order, or two that are both infinite.
            var log = double.IsNaN(hazard) ? (from > 0 ? double.NegativeInfinity : 0) : -Math.Exp(hazard);
            sum += _weights[i] * (ofFailure ? -NearZero.Expm1(log) : Math.Exp(log));
        }

        return sum;
    }
}
