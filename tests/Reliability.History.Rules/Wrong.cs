namespace Reliability.Rules;

/// <summary>Rules that can be got wrong on purpose, to show that the check would notice.</summary>
public enum Wrong
{
    Nothing,

    /// <summary>A module in service survived to today's clock, not to its last good reading.</summary>
    SurvivorCountedToToday,

    /// <summary>What a host's meter showed at the install counts as hours of the module.</summary>
    HostHoursBeforeInstallCounted,

    /// <summary>A failure happened when it was found.</summary>
    DiscoveryTakenAsExact,

    /// <summary>The first readings in time stand; a mistyped high one puts out all that follow.</summary>
    MistypedHighReadingKept,

    /// <summary>Work of unknown extent renewed the wearing part.</summary>
    UnknownRenewalTakenAsYes,

    /// <summary>A life counts from age 0, whenever observation of it began.</summary>
    LateEntryAsZero,

    /// <summary>A second report of one failure is a failure more.</summary>
    DuplicateFailureCountedTwice,

    /// <summary>A cut-off stops failures; survivors are counted beyond it.</summary>
    CutoffOnFailuresOnly,

    /// <summary>A planned removal is a failure.</summary>
    PlannedRemovalAsFailure,

    /// <summary>A life opened after its outcome was known counts like any other.</summary>
    OpenedAfterOutcomeAdmitted,

    /// <summary>Hours that nobody read are none.</summary>
    MissingReadingTakenAsNoHours,

    /// <summary>A meter goes on through its change.</summary>
    MeterChangeIgnored,

    /// <summary>What was retracted still counts.</summary>
    RetractionIgnored,

    /// <summary>The reading at a removal for failure shows that the module worked.</summary>
    RemovalForFailureAsGoodReading,

    /// <summary>Days begin at midnight, whatever that makes of the record.</summary>
    DaysNeverMove,

    /// <summary>Low output that nobody measured is a failure.</summary>
    UnmeasuredLowOutputAsFailure,

    /// <summary>With one mode asked for, failures by others are left out instead of surviving so far.</summary>
    OtherModesLeftOut,

    /// <summary>Each row that reports a life is a life.</summary>
    EachReportALife,

    /// <summary>Hours after a failure go on in the life when work did not renew the wearing part.</summary>
    LifeGoesOnAfterFailure,
}
