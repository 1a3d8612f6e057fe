using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>
/// r* of v where u is known: the one-parameter forms of <see cref="AdjustedQuantityRoot"/>. For a failure-terminated Weibull sample it
/// comes within a part in a thousand of the exact chi-square bounds.
/// </summary>
internal sealed class AdjustedLocationRoot : AdjustedRoot
{
    private readonly LogTimeLikelihood _likelihood;
    private readonly ExpectedOutcomes? _outcomes;
    private readonly Maximum _fit;
    private readonly ObservedTilt _tilt;

    /// <param name="likelihood">The likelihood.</param>
    /// <param name="fit">Its maximum over v.</param>
    /// <param name="outcomes">What the lives may come to; null for complete and failure-terminated samples.</param>
    public AdjustedLocationRoot(LogTimeLikelihood likelihood, Maximum fit, ExpectedOutcomes? outcomes)
        : base(fit.V, Math.Sqrt(fit.CovarianceVV))
    {
        (_likelihood, _fit, _outcomes) = (likelihood, fit, outcomes);
        if (outcomes is null)
            _tilt = ObservedTilt.At(likelihood, fit.U, fit.V);
    }

    protected override RootAt? RootAt(double value, CancellationToken cancellationToken)
    {
        var point = _likelihood.Evaluate(_fit.U, value, cancellationToken);
        if (!point.IsFinite)
            return null;
        var root = Math.Sign(_fit.V - value) * Math.Sqrt(Math.Max(0, 2 * (_fit.Value - point.Value)));
        var difference = _outcomes is null
            ? (_tilt.Second - ObservedTilt.At(_likelihood, _fit.U, value).Second) / _tilt.SecondByV
            : _outcomes.With((_fit.U, value)).DifferenceOfV;
        return new(root, difference / Math.Sqrt(_fit.CovarianceVV));
    }
}
