using Reliability.V1;

namespace Reliability.DemoData.Report;

/// <summary>What bounds say of a stated truth.</summary>
internal static class Bounds
{
    /// <summary>Whether the bounds that are there hold the truth; null when there are none.</summary>
    public static bool? Hold(Estimate? estimate, double truth)
    {
        if (estimate is null || !estimate.HasLower && !estimate.HasUpper)
            return null;
        return (!estimate.HasLower || estimate.Lower <= truth) && (!estimate.HasUpper || truth <= estimate.Upper);
    }

    /// <summary>The same as a word.</summary>
    public static string Word(Estimate? estimate, double truth) => Hold(estimate, truth) switch
    {
        true => "yes",
        false => "no",
        null => "no bounds",
    };
}
