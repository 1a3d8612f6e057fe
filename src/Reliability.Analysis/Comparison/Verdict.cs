namespace Reliability.Analysis;

/// <summary>What a comparison can say.</summary>
/// <param name="Code">Which it is.</param>
/// <param name="Text">The same in words, with what it rests on and which coverage to expect.</param>
public sealed record Verdict(VerdictCode Code, string Text);
