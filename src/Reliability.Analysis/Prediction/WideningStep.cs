namespace Reliability.Analysis;

/// <summary>Which lives a prediction rests on. Each step assumes more than the one before; the borrowed shape comes before both conditions.</summary>
public enum WideningStep
{
    /// <summary>Lives of the same module model, condition class and refurbisher.</summary>
    SameCondition,

    /// <summary>The same, by all refurbishers.</summary>
    AllRefurbishers,

    /// <summary>New and refurbished together, taken to last equally long: when no life of the module's own kind has failed.</summary>
    BothConditions,

    /// <summary>The shape shared with the other lives of the model, whatever their scales; the scale from the module's own cohort.</summary>
    BorrowedShape,

    /// <summary>No fit: rated hours alone.</summary>
    RatedHoursOnly,
}
