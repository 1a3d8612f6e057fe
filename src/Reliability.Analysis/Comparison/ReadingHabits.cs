using System.Globalization;

namespace Reliability.Analysis;

/// <summary>
/// Warns when the cohorts' meters are read at very different intervals: failures and survivors are then known to different
/// degrees, and a difference in the record can look like a difference in life. The thresholds are our own, no source.
/// </summary>
internal static class ReadingHabits
{
    private const double RatioToWarnOf = 3, DaysToWarnOf = 30;

    public static void WarnOfUnequal(IReadOnlyList<ComparisonGroup> groups, NoteCollector notes)
    {
        if (groups[0].Lives.Summary.MedianDaysSinceLastReading is not { } first
            || groups[1].Lives.Summary.MedianDaysSinceLastReading is not { } second)
            return;
        var (less, more) = (Math.Min(first, second), Math.Max(first, second));
        if (more - less > DaysToWarnOf && more > RatioToWarnOf * less)
        {
            notes.Warn(RecordWarningCodes.UnequalReadingHabits, string.Create(CultureInfo.InvariantCulture,
                $"In the middle case modules in service were last read {first:0} days ago in '{groups[0].Name}' and {second:0} days ago in "
                + $"'{groups[1].Name}'. Read both alike before a small difference is believed."));
        }
    }
}
