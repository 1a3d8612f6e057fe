using System.Globalization;

namespace Reliability.Engine.Remote;

/// <summary>Why a plug-in did not answer, in words for its callers: no path, no text of the plug-in's own.</summary>
internal static class Reasons
{
    private const double BytesPerMebibyte = 1 << 20;
    private const int SignalBase = 128;

    public const string NotGrpc = "its connection broke, or what it sent was not gRPC";
    public const string Stopping = "the host is stopping";
    public const string IgnoredCancellation = "it went on after its caller had given up, and was ended";

    public static string OverMemory(long limit) => string.Create(
        CultureInfo.InvariantCulture, $"it was ended because it took more than its {limit / BytesPerMebibyte:0.#} MiB of memory");

    public static string OverDeadline(TimeSpan deadline) => string.Create(
        CultureInfo.InvariantCulture, $"it did not answer within its deadline of {deadline.TotalSeconds:0.###} s, and was ended");

    public static string NotReady(TimeSpan deadline) => string.Create(
        CultureInfo.InvariantCulture, $"it did not say what it is within {deadline.TotalSeconds:0.###} s of its start");

    public static string Exited(int code) => code > SignalBase
        ? string.Create(CultureInfo.InvariantCulture, $"its process ended by signal {code - SignalBase}")
        : string.Create(CultureInfo.InvariantCulture, $"its process exited with code {code}");

    /// <summary>Adds when the next try is.</summary>
    public static string Down(string reason, TimeSpan untilNext) => string.Create(
        CultureInfo.InvariantCulture,
        $"its plug-in is not running: {reason}. It is tried again in {Math.Max(1, Math.Ceiling(untilNext.TotalSeconds)):0} s.");
}
