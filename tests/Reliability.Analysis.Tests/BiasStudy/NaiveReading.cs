namespace Reliability.Analysis.Tests.BiasStudy;

/// <summary>The rules of the record that can be switched off.</summary>
[Flags]
internal enum NaiveReading
{
    /// <summary>All rules hold.</summary>
    None = 0,

    /// <summary>Modules at work count as survived to today, at their rate of use, not to their last reading.</summary>
    SurvivedToToday = 1,

    /// <summary>Everything counts as watched from age 0.</summary>
    WatchedFromTheStart = 2,

    /// <summary>Readings count as typed.</summary>
    ReadingsAsTyped = 4,

    /// <summary>A failure counts as having happened when it was found.</summary>
    FoundIsFailed = 8,

    /// <summary>Records that exist because something failed are kept.</summary>
    OpenedByFailure = 16,

    /// <summary>No rule holds.</summary>
    All = 31,
}
