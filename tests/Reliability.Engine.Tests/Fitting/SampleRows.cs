using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Tests.Fitting;

/// <summary>Samples taken apart and put together again.</summary>
internal static class SampleRows
{
    public static IEnumerable<Row> Rows(this LifeSample sample)
    {
        for (var i = 0; i < sample.RowCount; i++)
        {
            yield return new Row(
                sample.Outcomes[i], sample.LowerHours[i], sample.UpperHours[i], sample.EntryHours[i], sample.Counts[i],
                sample.FailureModes.IsEmpty || sample.FailureModes[i] < 0 ? null : sample.FailureModeNames[sample.FailureModes[i]]);
        }
    }

    public static LifeSample Rebuilt(this LifeSample sample, Func<Row, Row> change)
    {
        var builder = new LifeSampleBuilder(sample.RowCount);
        foreach (var row in Rows(sample))
            Add(builder, change(row));
        return builder.Build();
    }

    public static void Add(this LifeSampleBuilder builder, Row row)
    {
        _ = row.Outcome switch
        {
            LifeOutcome.Failed => builder.AddFailed(row.Lower, row.Entry, row.Count, failureMode: row.Mode),
            LifeOutcome.Survived => builder.AddSurvived(row.Lower, row.Entry, row.Count),
            _ => builder.AddBetween(row.Lower, row.Upper, row.Entry, row.Count, failureMode: row.Mode),
        };
    }

    public sealed record Row(LifeOutcome Outcome, double Lower, double Upper, double Entry, double Count, string? Mode);
}
