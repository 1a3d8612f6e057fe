using System.Text.Json;

namespace Reliability.Reference;

/// <summary>Turnbull's estimate of a case.</summary>
public sealed class ReferenceTurnbull(JsonElement element)
{
    public double LogLikelihood => element.GetProperty("loglik").GetDouble();

    /// <summary>Ends of the innermost intervals with the survival after each; without upper end where it is infinite.</summary>
    public IReadOnlyList<(double Lower, double? Upper, double SurvivalAfter)> Intervals =>
    [
        .. element.GetProperty("innermost_intervals").EnumerateArray().Select(e => (
            e.GetProperty("lower").GetDouble(),
            e.GetProperty("upper").ValueKind == JsonValueKind.Null ? (double?)null : e.GetProperty("upper").GetDouble(),
            e.GetProperty("surv_after").GetDouble())),
    ];
}
