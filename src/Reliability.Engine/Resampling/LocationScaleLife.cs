using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Resampling;

/// <summary>A member of a log-location-scale family.</summary>
internal readonly struct LocationScaleLife(IStandardDistribution distribution, double u, double v) : ISimulatedLife
{
    public double PositionAt(double hazard) => (distribution.AtLogHazard(Math.Log(hazard)) - v) / u;

    public double HazardAt(double x) => Math.Exp(distribution.LogCumulativeHazard(u * x + v));
}
