namespace Reliability.Studies.BoundsCoverage;

/// <summary>How lives come to be watched in a cell of the study.</summary>
internal enum StudyPlan
{
    /// <summary>All started together and watched until the set number of failures.</summary>
    FailureTerminated,

    /// <summary>All stopped at one age.</summary>
    TimeTerminated,

    /// <summary>Stopped at ages spread evenly from a quarter of the greatest to the greatest.</summary>
    Staggered,

    /// <summary>As staggered, with half of the lives watched only from an age of up to half of their end.</summary>
    LateEntry,

    /// <summary>A fleet: put in over time, stopped at a cut-off, and the oldest taken out at rated hours.</summary>
    Fleet,

    /// <summary>As stopped at one age, failures known only between two of ten inspections.</summary>
    Inspected,

    /// <summary>As staggered, failures known only between two inspections of the life's own.</summary>
    OwnInspections,
}
