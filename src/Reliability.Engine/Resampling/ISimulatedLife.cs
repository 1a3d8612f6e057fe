namespace Reliability.Engine.Resampling;

/// <summary>A life to simulate, on a sample's log axis.</summary>
internal interface ISimulatedLife
{
    /// <summary>Where the cumulative hazard is so great.</summary>
    double PositionAt(double hazard);

    /// <summary>The cumulative hazard at a place.</summary>
    double HazardAt(double x);
}
