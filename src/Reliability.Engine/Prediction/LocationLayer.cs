using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Prediction;

/// <summary>What a sample says of v once u is given, under a flat prior of v.</summary>
internal abstract class LocationLayer
{
    /// <summary>Logarithm of the likelihood integrated over v, up to a number that does not depend on u; 0 when no life failed.</summary>
    public abstract double LogMass(double u);

    /// <summary>Logarithm of the share of the hazard up to the ends of lives that was watched; 0 without late entry.</summary>
    public abstract double LogWatched(double u);

    /// <summary>The predictive distribution over nodes of u.</summary>
    /// <param name="nodes">Nodes of u and their weights.</param>
    /// <param name="power">Power of the accumulated hazard in the prior.</param>
    /// <returns>The distribution, or null when some node has none.</returns>
    public abstract PredictiveLife? Predict(IReadOnlyList<(double U, double Weight)> nodes, double power);

    /// <summary>The layer of a sample: in closed form for Weibull lives of known ages, else by quadrature.</summary>
    public static LocationLayer Of(LogTimeLikelihood likelihood, CancellationToken cancellationToken) =>
        likelihood is LogTimeLikelihood<SmallestExtremeValue> && likelihood.Sample.UpperX.Length == 0
            ? new GammaLayer(likelihood.Sample)
            : new QuadratureLayer(likelihood, cancellationToken);
}
