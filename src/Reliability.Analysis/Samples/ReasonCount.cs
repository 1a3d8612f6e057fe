namespace Reliability.Analysis;

/// <summary>How many lives share a reason.</summary>
/// <param name="Reason">The reason, UPPER_SNAKE.</param>
/// <param name="Count">Lives.</param>
public sealed record ReasonCount(string Reason, long Count);
