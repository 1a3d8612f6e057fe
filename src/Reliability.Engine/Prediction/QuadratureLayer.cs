using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Prediction;

/// <summary>Any log-location-scale family and any outcomes: v integrated by quadrature at each u.</summary>
internal sealed class QuadratureLayer(LogTimeLikelihood likelihood, CancellationToken cancellationToken) : LocationLayer
{
    private const double Spacing = 0.5;
    private const double Negligible = 1e-11;

    private readonly Dictionary<double, LogDensityGrid?> _known = [];
    private (double V, double Width)? _last;

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
            if ((power == 0 && Failures > 0 ? At(u) : Grid(u, power)) is not { } grid)
                return null;
            for (var j = 0; j < grid.At.Length; j++)
            {
                if (weight * grid.Weights[j] > Negligible)
                    mixed.Add((weight * grid.Weights[j], u, grid.At[j]));
            }
        }

        return new QuadraturePredictiveLife(likelihood.Sample.Axis, likelihood.Distribution, [.. mixed]);
    }

    private LogDensityGrid? At(double u)
    {
        if (!_known.TryGetValue(u, out var grid))
            _known[u] = grid = Grid(u, 0);
        return grid;
    }

    private static double Middle(LogDensityGrid grid) => grid.At[Array.IndexOf(grid.Weights, grid.Weights.Max())];

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
        {
            _last = (Middle(grid), grid.At.Length > 1 ? (grid.At[1] - grid.At[0]) / Spacing : width);
        }

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
        var distribution = likelihood.Distribution;
        double sum = 0;
        for (var i = 0; i < sample.FailedX.Length; i++)
            sum -= sample.FailedCount[i] * distribution.LogSurvival(u * sample.FailedX[i] + v);
        for (var i = 0; i < sample.SurvivedX.Length; i++)
            sum -= sample.SurvivedCount[i] * distribution.LogSurvival(u * sample.SurvivedX[i] + v);
        for (var i = 0; i < sample.UpperX.Length; i++)
        {
            var lower = Math.Max(sample.LowerX[i], sample.UpperX[i] - 2 * Math.Log(2));
            sum -= sample.BetweenCount[i] * distribution.LogSurvival(u * (lower + sample.UpperX[i]) / 2 + v);
        }

        return sum - Before(u, v);
    }

    /// <summary>The hazard that lives had been through before they were watched.</summary>
    private double Before(double u, double v)
    {
        var sample = likelihood.Sample;
        double sum = 0;
        for (var i = 0; i < sample.EntryX.Length; i++)
            sum -= sample.EntryCount[i] * likelihood.Distribution.LogSurvival(u * sample.EntryX[i] + v);
        return sum;
    }
}
