namespace Reliability.Engine.Conformance;

/// <summary>What became of a rule.</summary>
public enum ConformanceVerdict
{
    /// <summary>It was tried and holds.</summary>
    Kept = 0,

    /// <summary>It was tried and does not hold.</summary>
    Broken = 1,

    /// <summary>It does not apply: what it is about is not claimed. Nothing was tried.</summary>
    NotClaimed = 2,

    /// <summary>It applies and could not be tried; the text says why.</summary>
    NotChecked = 3,
}
