namespace Reliability.Analysis;

/// <summary>Which lives a prediction rests on. Each step takes in more than the one before.</summary>
public enum WideningStep
{
    /// <summary>Lives of the same module model, condition class and refurbisher.</summary>
    SameCondition,

    /// <summary>The same, by all refurbishers.</summary>
    AllRefurbishers,

    /// <summary>New and refurbished together.</summary>
    BothConditions,

    /// <summary>The shape from new and refurbished together, the scale from the module's own cohort.</summary>
    BorrowedShape,

    /// <summary>No fit: rated hours alone.</summary>
    RatedHoursOnly,
}
