using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Families;

/// <summary>Lives counted from an age before which nothing fails.</summary>
internal static class ShiftedLives
{
    /// <summary>The lives less the location; those that were last seen before it say nothing and are left out. Null when one
    /// had failed by the location.</summary>
    public static LifeSample? By(LifeSample sample, double location)
    {
        if (location == 0)
            return sample;
        if (location >= sample.EarliestFailureHours)
            return null;
        var builder = new LifeSampleBuilder(sample.RowCount);
        for (var i = 0; i < sample.RowCount; i++)
        {
            var lower = Math.Max(sample.LowerHours[i] - location, 0);
            var upper = sample.UpperHours[i] - location;
            var entry = Math.Max(sample.EntryHours[i] - location, 0);
            var count = sample.Counts[i];
            switch (sample.Outcomes[i])
            {
                case LifeOutcome.Failed when entry < upper:
                    builder.AddFailed(upper, entry, count);
                    break;
                case LifeOutcome.Between when lower < upper:
                    builder.AddBetween(lower, upper, entry, count);
                    break;
                case LifeOutcome.Survived when entry < upper:
                    builder.AddSurvived(upper, entry, count);
                    break;
                case LifeOutcome.Survived:
                    break;
                default:
                    // Entry and end fall together in what a number can hold.
                    return null;
            }
        }

        return builder.Build();
    }
}
