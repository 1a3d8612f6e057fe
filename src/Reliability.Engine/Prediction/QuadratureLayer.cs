using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Prediction;

/// <summary>
/// Any log-location-scale family and any outcomes: v integrated by quadrature at each u. Nodes lie along w = log(-log S(v)), the log of the
/// hazard up to the greatest age, which is v itself for Weibull lives; for others the long tails that late entry leaves over v are short over w. Work
/// is bounded: lives that would need more looks at the likelihood, or leave a mixture of more members, than the limits below have no prediction.
/// </summary>
internal sealed class QuadratureLayer(LogTimeLikelihood likelihood, CancellationToken cancellationToken) : LocationLayer
{
    private const double Spacing = 0.6;
    private const double Negligible = 1e-14;

    // Ordinary lives take some thousand looks and some hundred members; where v cannot be integrated at one u after another there is no hope.
    private const int MostLooks = 60_000, MostFailed = 6, MostMembers = 30_000;

    // Digits that a difference of hazards may lose to rounding before the posterior has none left that matter.
    private const double Rounding = 1e-16, MostLost = 1e-5;

    private readonly Dictionary<(double U, double Watched), LogDensityGrid?> _known = [];
    private (double U, double W, double Width)? _last, _before;
    private double[]? _middles;
    private int _looks, _failed;

    private double Failures => likelihood.Sample.TotalFailed + likelihood.Sample.TotalBetween;

    private bool IsLate => likelihood.Sample.EntryX.Length > 0;

    /// <inheritdoc/>
    public override double LogMass(double u, double watched) => Failures == 0 ? 0 : At(u, watched)?.LogMass ?? double.NaN;

    /// <inheritdoc/>
    public override PredictiveLife? Predict(IReadOnlyList<(double U, double Weight)> nodes, PriorTilt tilt)
    {
        var mixed = new List<(double Weight, double U, double V)>();
        double lost = 0;
        foreach (var (u, weight) in nodes)
        {
            if (weight < Negligible)
                continue;
            if ((Failures > 0 ? At(u, tilt.Watched) : Grid(u, tilt.Watched, tilt.Scale)) is not { } grid)
                return null;
            if (Failures > 0 && tilt.Scale > 0)
                grid = grid.Times(w => tilt.Scale * Math.Log(Hazard(u, VAt(w))));
            if (IsLate)
                lost += weight * Rounding * Before(u, VAt(grid.Peak));
            for (var j = 0; j < grid.At.Length; j++)
            {
                if (weight * grid.Weights[j] > Negligible)
                    mixed.Add((weight * grid.Weights[j], u, VAt(grid.At[j])));
            }

            if (mixed.Count > MostMembers)
                return null;
        }

        return lost < MostLost ? new QuadraturePredictiveLife(likelihood, mixed) : null;
    }

    private LogDensityGrid? At(double u, double watched)
    {
        if (!_known.TryGetValue((u, watched), out var grid))
            _known[(u, watched)] = grid = Grid(u, watched, 0);
        return grid;
    }

    private LogDensityGrid? Grid(double u, double watched, double power)
    {
        double Log(double w)
        {
            if (_looks++ > MostLooks || _failed > MostFailed)
                return double.NaN;
            var v = VAt(w);
            var value = likelihood.Evaluate(u, v, cancellationToken).Value - LogSlope(v, w);
            if (power > 0)
                value += power * Math.Log(Hazard(u, v));
            if (watched > 0 && IsLate)
                value += watched * LogWatched(u, v);

            // Too far out for its terms to be numbers.
            return double.IsNaN(value) ? double.NegativeInfinity : value;
        }

        var (start, width) = Nearby(u) ?? Start(u);
        var grid = LogDensityGrid.Over(Log, start, width, Spacing, mayGrow: true);
        if (grid is null && _last is not null)
        {
            (start, width) = Start(u);
            grid = LogDensityGrid.Over(Log, start, width, Spacing, mayGrow: true);
        }

        if (grid is not null)
            (_before, _last) = (_last, (u, grid.Peak, grid.Step / Spacing));
        else
            _failed++;
        return grid;
    }

    /// <summary>Where the peak should be by the two looked at last: it moves with u nearly along a line.</summary>
    private (double W, double Width)? Nearby(double u)
    {
        if (_last is not var (lastU, lastW, width))
            return null;
        var slope = _before is var (beforeU, beforeW, _) && beforeU != lastU ? (lastW - beforeW) / (lastU - beforeU) : 0;
        var w = lastW + slope * (u - lastU);
        return (double.IsFinite(w) ? w : lastW, width);
    }

    private (double W, double Width) Start(double u)
    {
        if (Failures == 0 || !Maximiser.MaximiseLocation(likelihood, u, cancellationToken).TryGet(out var maximum, out _))
            return (0, 1);
        var w = likelihood.Distribution.LogCumulativeHazard(maximum.V);
        return (w, Math.Sqrt(maximum.CovarianceVV) * Math.Exp(LogSlope(maximum.V, w)));
    }

    private double VAt(double w) => likelihood.Distribution.AtLogHazard(w);

    /// <summary>Logarithm of dw / dv, the hazard over the hazard accumulated.</summary>
    private double LogSlope(double v, double w)
    {
        likelihood.Distribution.LogSurvival(v, out var slope, out _);
        return Math.Log(-slope) - w;
    }

    /// <summary>The hazard that all lives together have been through while watched; an interval ends in its middle.</summary>
    private double Hazard(double u, double v)
    {
        var sample = likelihood.Sample;
        return -likelihood.LogSurvival(sample.FailedX, sample.FailedCount, u, v)
            - likelihood.LogSurvival(sample.SurvivedX, sample.SurvivedCount, u, v)
            - likelihood.LogSurvival(_middles ??= Middles(sample), sample.BetweenCount, u, v)
            - Before(u, v);
    }

    /// <summary>The hazard that lives had been through before they were watched.</summary>
    private double Before(double u, double v) => -likelihood.LogSurvival(likelihood.Sample.EntryX, likelihood.Sample.EntryCount, u, v);

    /// <summary>Logarithm of the share of the hazard up to the ends of lives that was watched.</summary>
    private double LogWatched(double u, double v)
    {
        var watched = Hazard(u, v);
        return Math.Log(watched / (watched + Before(u, v)));
    }

    private static double[] Middles(LogTimeSample sample)
    {
        var middles = new double[sample.UpperX.Length];
        for (var i = 0; i < middles.Length; i++)
            middles[i] = (Math.Max(sample.LowerX[i], sample.UpperX[i] - 2 * Math.Log(2)) + sample.UpperX[i]) / 2;
        return middles;
    }
}
