using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Prediction;

/// <summary>What a sample says of v once u is given, under a flat prior of v.</summary>
internal abstract class LocationLayer
{
    /// <summary>
    /// Logarithm of the likelihood times a power of the watched share of the hazard, integrated over v, up to a number that does not depend
    /// on u; 0 when no life failed, not a number when the integral cannot be had.
    /// </summary>
    /// <param name="u">u.</param>
    /// <param name="watched">The power.</param>
    public abstract double LogMass(double u, double watched);

    /// <summary>The predictive distribution over nodes of u.</summary>
    /// <param name="nodes">Nodes of u and their weights.</param>
    /// <param name="tilt">The prior's lean; its power of the shape is in the weights.</param>
    /// <returns>The distribution, or null when some node has none.</returns>
    public abstract PredictiveLife? Predict(IReadOnlyList<(double U, double Weight)> nodes, PriorTilt tilt);

    /// <summary>The layer of a sample: in closed form for Weibull lives of known ages, else by quadrature.</summary>
    public static LocationLayer Of(LogTimeLikelihood likelihood, CancellationToken cancellationToken) =>
        likelihood is LogTimeLikelihood<SmallestExtremeValue> && likelihood.Sample.UpperX.Length == 0
            ? new GammaLayer(likelihood.Sample)
            : new QuadratureLayer(likelihood, cancellationToken);
}
