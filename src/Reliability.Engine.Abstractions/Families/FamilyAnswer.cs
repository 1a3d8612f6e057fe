namespace Reliability.Engine.Families;

/// <summary>What a family can be asked.</summary>
internal enum FamilyAnswer
{
    /// <summary>log f at ages.</summary>
    LogDensity,

    /// <summary>log R at ages.</summary>
    LogSurvival,

    /// <summary>Ages by which fractions have failed.</summary>
    Quantile,

    /// <summary>The mean life.</summary>
    Mean,
}
