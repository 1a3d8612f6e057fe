using Reliability.History.Events;

namespace Reliability.History.Derivation;

/// <summary>The order in which events count: by occurrence, at equal times by kind, then by id.</summary>
internal static class Ordering
{
    public static List<RecordedEvent> ByOccurrence(IEnumerable<RecordedEvent> events) => Sorting.Sorted([.. events], Compare);

    private static int Compare(RecordedEvent one, RecordedEvent other)
    {
        var order = one.Occurrence.Earliest.CompareTo(other.Occurrence.Earliest);
        if (order == 0)
            order = Rank(one.Body).CompareTo(Rank(other.Body));
        return order == 0 ? one.EventId.CompareTo(other.EventId) : order;
    }

    public static int Rank(EventBody body) => body switch
    {
        RegisteredV1 => 0,
        FailedV1 => 1,
        RemovedV1 => 2,
        RepairedV1 => 3,
        RefurbishedV1 => 4,
        MeterChangedV1 => 5,
        InstalledV1 => 6,
        OutputMeasuredV1 => 7,
        RunHoursReadV1 => 8,
        RetiredV1 => 9,
        _ => 10,
    };

    /// <summary>Whether the event changes where the module is or which life it is in, rather than only measuring it.</summary>
    public static bool IsStructural(EventBody body) =>
        body is RegisteredV1 or FailedV1 or RemovedV1 or RepairedV1 or RefurbishedV1 or MeterChangedV1 or InstalledV1
            or RetiredV1;

    /// <summary>Whether one window certainly lies before the other.</summary>
    public static bool CertainlyBefore(Occurrence one, Occurrence other) =>
        one.Latest <= other.Earliest && one.Earliest < other.Earliest;
}
