using Reliability.Engine.Bounds;
using Reliability.Engine.LocationScale;
using Reliability.Engine.Quantities;

namespace Reliability.Engine.Resampling;

/// <summary>
/// Percentile-t bounds (Efron 1982; Davison and Hinkley 1997, 5.2; Meeker and Escobar 1998, 9.3): estimate minus quantiles of
/// (simulated estimate - estimate) / its standard error, times the standard error, on the quantity's transformed scale.
/// </summary>
/// <param name="space">The maximum.</param>
/// <param name="life">The life there.</param>
/// <param name="fits">Fits of samples simulated at it.</param>
/// <param name="level">Confidence level, two-sided.</param>
internal sealed class BootstrapBounds(ParameterSpace space, LogTimeLife life, ReplicateFits fits, double level) : IQuantityBounds
{
    public FoundBounds Of(LifeQuantity quantity, CancellationToken cancellationToken)
    {
        var centre = quantity.Transformed(life);
        var error = space.StandardError(quantity);
        if (!double.IsFinite(centre) || !double.IsFinite(error))
            return (null, null);
        var departures = Departures(quantity, centre, cancellationToken);
        var share = (1 - level) / 2;

        // A bound that would lie beyond the estimate is set to it: a pair holds the estimate.
        return (
            departures.Limit(share, -1) is { } greatest ? Math.Min(centre, centre - greatest * error) : null,
            departures.Limit(share, 1) is { } least ? Math.Max(centre, centre - least * error) : null);
    }

    private SimulatedDepartures Departures(LifeQuantity quantity, double centre, CancellationToken cancellationToken)
    {
        var found = new List<double>(fits.Count);
        for (var i = 0; i < fits.Count; i++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            var departure = Departure(i);
            if (!double.IsNaN(departure))
                found.Add(departure);
        }

        found.Sort();
        return new([.. found], fits.Count - found.Count, fits.WithoutMaximum);

        double Departure(int i)
        {
            if (double.IsNaN(fits.U[i]))
                return RunawayEstimate.Departure(quantity, life, fits.V[i], centre);
            var maximum = new Maximum(
                fits.U[i], fits.V[i], 0, fits.CovarianceUU[i], fits.CovarianceUV[i], fits.CovarianceVV[i], 0);
            var replicate = new ParameterSpace(life.Distribution, life.Axis, maximum);
            return (quantity.Transformed(replicate.LifeAt(0, 0)) - centre) / replicate.StandardError(quantity);
        }
    }
}
