namespace Reliability.Engine.Conformance;

/// <summary>What a rule found where it is not broken: what was tried, or why nothing was.</summary>
internal readonly record struct Finding(ConformanceVerdict Verdict, string Text)
{
    public static Finding Kept(string tried) => new(ConformanceVerdict.Kept, tried);

    public static Finding NotClaimed(string why) => new(ConformanceVerdict.NotClaimed, why);

    public static Finding NotChecked(string why) => new(ConformanceVerdict.NotChecked, why);
}
