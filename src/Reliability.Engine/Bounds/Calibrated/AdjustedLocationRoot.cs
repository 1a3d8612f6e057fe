using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>
/// r* of v where u is known: the one-parameter forms of <see cref="AdjustedQuantityRoot"/>. For a failure-terminated Weibull sample it
/// comes within a part in a thousand of the exact chi-square bounds.
/// </summary>
internal sealed class AdjustedLocationRoot : AdjustedRoot
{
    private readonly LogTimeLikelihood _likelihood;
    private readonly Maximum _fit;
    private readonly Departures _departures;

    /// <param name="likelihood">The likelihood.</param>
    /// <param name="fit">Its maximum over v.</param>
    /// <param name="outcomes">What the lives may come to; null for complete and failure-terminated samples.</param>
    public AdjustedLocationRoot(LogTimeLikelihood likelihood, Maximum fit, ExpectedOutcomes? outcomes)
        : base(fit.V, Math.Sqrt(fit.CovarianceVV))
    {
        (_likelihood, _fit) = (likelihood, fit);
        _departures = new(likelihood, fit, outcomes);
    }

    protected override RootAt? RootAt(double value, CancellationToken cancellationToken)
    {
        var point = _likelihood.Evaluate(_fit.U, value, cancellationToken);
        if (!point.IsFinite)
            return null;
        var root = Math.Sign(_fit.V - value) * Math.Sqrt(Math.Max(0, 2 * (_fit.Value - point.Value)));
        return new(root, _departures.At(_fit.U, value).Along((0, 1)) * Math.Sqrt(_departures.Information));
    }
}
