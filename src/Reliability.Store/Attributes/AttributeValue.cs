namespace Reliability.Store.Attributes;

/// <summary>A value in use.</summary>
/// <param name="Value">As typed.</param>
/// <param name="LifeCount">How many lives have it.</param>
public sealed record AttributeValue(string Value, long LifeCount);
