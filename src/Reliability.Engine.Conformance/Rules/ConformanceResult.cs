namespace Reliability.Engine.Conformance;

/// <summary>A rule and what became of it.</summary>
/// <param name="Rule">Name of the rule.</param>
/// <param name="Demand">What the rule demands.</param>
/// <param name="Verdict">What became of it.</param>
/// <param name="Text">What was tried; what went wrong where; or why nothing was tried.</param>
public sealed record ConformanceResult(string Rule, string Demand, ConformanceVerdict Verdict, string Text)
{
    /// <summary>One line: verdict, name and text.</summary>
    /// <returns>The line.</returns>
    public override string ToString() => $"{Verdict,-10} {Rule,-22} {Text}";
}
