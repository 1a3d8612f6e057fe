using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Prediction;

/// <summary>Any log-location-scale family and any outcomes: v integrated by quadrature at each u.</summary>
internal sealed class QuadratureLayer(LogTimeLikelihood likelihood, CancellationToken cancellationToken) : LocationLayer
{
    private const double Spacing = 0.6;
    private const double Negligible = 1e-14;

    private readonly Dictionary<double, LogDensityGrid?> _known = [];
    private (double V, double Width)? _last;
    private double[]? _middles;

    private double Failures => likelihood.Sample.TotalFailed + likelihood.Sample.TotalBetween;

    /// <inheritdoc/>
    public override double LogMass(double u) => Failures == 0 ? 0 : At(u)?.LogMass ?? double.NegativeInfinity;

    /// <inheritdoc/>
    public override double LogWatched(double u)
    {
        if (likelihood.Sample.EntryX.Length == 0 || Failures == 0)
            return 0;
        if (At(u) is not { } grid)
            return double.NegativeInfinity;
        var v = grid.Mean;
        var before = Before(u, v);
        var watched = Hazard(u, v);
        return Math.Log(watched / (watched + before));
    }

    /// <inheritdoc/>
    public override PredictiveLife? Predict(IReadOnlyList<(double U, double Weight)> nodes, double power)
    {
        var mixed = new List<(double Weight, double U, double V)>();
        foreach (var (u, weight) in nodes)
        {
            if (weight < Negligible)
                continue;
            if ((Failures > 0 ? At(u) : Grid(u, power)) is not { } grid)
                return null;
            if (Failures > 0 && power > 0)
                grid = grid.Times(v => power * Math.Log(Hazard(u, v)));
            for (var j = 0; j < grid.At.Length; j++)
            {
                if (weight * grid.Weights[j] > Negligible)
                    mixed.Add((weight * grid.Weights[j], u, grid.At[j]));
            }
        }

        return new QuadraturePredictiveLife(likelihood, mixed);
    }

    private LogDensityGrid? At(double u)
    {
        if (!_known.TryGetValue(u, out var grid))
            _known[u] = grid = Grid(u, 0);
        return grid;
    }

    private LogDensityGrid? Grid(double u, double power)
    {
        double Log(double v)
        {
            var value = likelihood.Evaluate(u, v, cancellationToken).Value;
            return power == 0 ? value : value + power * Math.Log(Hazard(u, v));
        }

        var (start, width) = _last ?? Start(u);
        var grid = LogDensityGrid.Over(Log, start, width, Spacing);
        if (grid is null && _last is not null)
        {
            (start, width) = Start(u);
            grid = LogDensityGrid.Over(Log, start, width, Spacing);
        }

        if (grid is not null)
            _last = (grid.Mean, grid.Step / Spacing);
        return grid;
    }

    private (double V, double Width) Start(double u) =>
        Failures > 0 && Maximiser.MaximiseLocation(likelihood, u, cancellationToken).TryGet(out var maximum, out _)
            ? (maximum.V, Math.Sqrt(maximum.CovarianceVV))
            : (0, 1);

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

    private static double[] Middles(LogTimeSample sample)
    {
        var middles = new double[sample.UpperX.Length];
        for (var i = 0; i < middles.Length; i++)
            middles[i] = (Math.Max(sample.LowerX[i], sample.UpperX[i] - 2 * Math.Log(2)) + sample.UpperX[i]) / 2;
        return middles;
    }
}
