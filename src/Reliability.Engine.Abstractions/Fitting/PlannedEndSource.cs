namespace Reliability.Engine.Abstractions;

/// <summary>Where the ages come from at which failed lives would have been stopped.</summary>
public enum PlannedEndSource
{
    /// <summary>The bounds do without them.</summary>
    NotNeeded = 0,

    /// <summary>Stated for every failed life.</summary>
    Stated = 1,

    /// <summary>Stated for some; for the others as for <see cref="Estimated"/>.</summary>
    PartlyStated = 2,

    /// <summary>By the reverse Kaplan-Meier estimate: a failed life would have been stopped like those that were watched at its age and
    /// stopped later.</summary>
    Estimated = 3,
}
