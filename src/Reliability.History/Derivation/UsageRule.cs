using Reliability.History.Lives;

namespace Reliability.History.Derivation;

/// <summary>Accepted readings as points from which rates of use can be taken.</summary>
internal static class UsageRule
{
    public static IReadOnlyList<UsagePoint> Of(List<PhaseOutcome> outcomes)
    {
        var points = new List<UsagePoint>(outcomes.Sum(outcome => outcome.Ages.Points.Count));
        var stretch = 0;
        foreach (var (_, ages, _, draft, _) in outcomes)
        {
            // A host's meter runs on when the module has failed: what it shows then is not the module's use.
            var until = draft.Kind == OutcomeKind.Survived ? null : draft.Known;
            AgePoint? previous = null;
            var hours = 0.0;
            foreach (var point in ages.Points)
            {
                var reading = point.Item.Reading;
                if (point.Spell.AfterLife || (until is not null && reading.Earliest > until.Earliest))
                    break;
                if (previous is { } before && Continues(before, point))
                {
                    hours += point.Hours.LowerHours - before.Hours.LowerHours;
                }
                else
                {
                    stretch++;
                    hours = 0;
                }

                points.Add(new(reading.Earliest, reading.Latest, hours, stretch));
                previous = point;
            }
        }

        return points;
    }

    // Hours between two readings are known on one piece of a meter, and across a change of meter that was read on both sides.
    private static bool Continues(AgePoint one, AgePoint next)
    {
        var (from, to) = (one.Item.Segment!, next.Item.Segment!);
        return one.Spell == next.Spell
            && (from == to ? one.Item.Piece == next.Item.Piece : one.Item == from.Last && next.Item == to.First);
    }
}
