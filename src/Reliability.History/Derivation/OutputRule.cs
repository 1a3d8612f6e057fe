using Reliability.History.Catalogue;
using Reliability.History.Events;
using Reliability.History.Lives;

namespace Reliability.History.Derivation;

/// <summary>
/// Low output is a failure by the output mode: in (last measurement at or above the threshold, first below it]. A low one
/// that is followed by one at or above the threshold ends nothing.
/// </summary>
internal sealed class OutputRule
{
    private readonly HashSet<Guid> _good = [];

    /// <summary>Judges the measurements of a life.</summary>
    /// <param name="marks">Measurements in order of time, up to any other end of the life.</param>
    /// <param name="threshold">Threshold in force at the life's start; null when the model has none.</param>
    /// <param name="ledger">Takes what is odd.</param>
    public OutputRule(List<OutputMark> marks, OutputThreshold? threshold, Ledger ledger)
    {
        var low = new List<OutputMark>();
        foreach (var mark in marks)
        {
            var below = threshold?.IsBelow(mark.Body.Fraction, mark.Body.Value);
            if (threshold is null || below == false)
                _good.Add(mark.Event.EventId);
            else if (below is null)
                ledger.Flag(mark.Event, RecordOddity.OutputNotComparable);

            if (below == true)
                low.Add(mark);
            if (below == false)
            {
                low.ForEach(m => ledger.Flag(m.Event, RecordOddity.OutputRecovered));
                low.Clear();
                LastGood = mark;
            }
        }

        FirstLow = low.FirstOrDefault();
    }

    /// <summary>The last measurement at or above the threshold; null when there is none.</summary>
    public OutputMark? LastGood { get; }

    /// <summary>The first measurement below the threshold after that; null when output did not fall.</summary>
    public OutputMark? FirstLow { get; }

    /// <summary>Whether a measurement showed the module working as required.</summary>
    public bool ShowsWorking(RecordedEvent measured) => _good.Contains(measured.EventId);
}
