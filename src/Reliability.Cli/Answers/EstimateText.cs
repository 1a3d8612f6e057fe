using Reliability.V1;

namespace Reliability.Cli.Answers;

/// <summary>Estimates with their bounds, for people.</summary>
internal static class EstimateText
{
    /// <summary>The estimate itself, or a dash.</summary>
    public static string Value(Estimate? estimate) => NumberText.Of(estimate is { HasValue: true } ? estimate.Value : null);

    /// <summary>The lower bound, or a dash.</summary>
    public static string Lower(Estimate? estimate) => NumberText.Of(estimate is { HasLower: true } ? estimate.Lower : null);

    /// <summary>The upper bound, or a dash.</summary>
    public static string Upper(Estimate? estimate) => NumberText.Of(estimate is { HasUpper: true } ? estimate.Upper : null);

    /// <summary>The standard error, or a dash.</summary>
    public static string StandardError(Estimate? estimate) =>
        NumberText.Of(estimate is { HasStandardError: true } ? estimate.StandardError : null);

    /// <summary>Which side is bounded, in words.</summary>
    public static string Side(Estimate? estimate) => estimate?.BoundSide switch
    {
        BoundSide.Both => "both sides",
        BoundSide.Lower => "lower only",
        BoundSide.Upper => "upper only",
        _ => NumberText.Absent,
    };

    /// <summary>Estimate and bounds in one, such as "540.74 (390.2 to 811.9)" or "at least 390.2".</summary>
    public static string Whole(Estimate? estimate)
    {
        if (estimate is null)
            return NumberText.Absent;
        string value = estimate.HasValue ? NumberText.Of(estimate.Value) : "";
        string bounds = (estimate.HasLower, estimate.HasUpper) switch
        {
            (true, true) => $"{NumberText.Of(estimate.Lower)} to {NumberText.Of(estimate.Upper)}",
            (true, false) => $"at least {NumberText.Of(estimate.Lower)}",
            (false, true) => $"at most {NumberText.Of(estimate.Upper)}",
            _ => "",
        };
        return (value.Length, bounds.Length) switch
        {
            (0, 0) => NumberText.Absent,
            (0, _) => bounds,
            (_, 0) => value,
            _ => $"{value} ({bounds})",
        };
    }
}
