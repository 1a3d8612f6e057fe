using Reliability.History.Lives;
using Xunit;

namespace Reliability.History.Tests.KnownTruth;

/// <summary>
/// What a life that counts says is true of the module: whatever was mistyped, found late, read rarely or opened late.
/// </summary>
public sealed class KnownTruthTests
{
    private const double Rounding = 1e-6;

    [Fact]
    public void Every_life_with_one_mistyped_reading_at_most_holds_the_truth()
    {
        var (counted, untrue) = Simulate(slipsInALife: 1);

        Assert.True(untrue.Count == 0, $"{untrue.Count} of {counted}: {untrue.FirstOrDefault()}");
    }

    [Fact]
    public void Of_lives_with_any_number_of_them_one_in_five_hundred_at_most_does_not()
    {
        // Where half the readings of a life are wrong and agree, no rule can tell.
        var (counted, untrue) = Simulate(slipsInALife: int.MaxValue);

        Assert.True(untrue.Count <= counted / 500, $"{untrue.Count} of {counted}: {untrue.FirstOrDefault()}");
    }

    private static (int Counted, List<string> Untrue) Simulate(int slipsInALife)
    {
        var (counted, between, flagged, late) = (0, 0, 0, 0);
        var untrue = new List<string>();
        for (var seed = 1; seed <= 4_000; seed++)
        {
            var module = new SimulatedModule(seed, slipsInALife);
            var lives = module.History.Derive().Lives;
            Assert.Equal(module.TrueLives.Count, lives.Count);
            for (var i = 0; i < lives.Count; i++)
            {
                var (life, truth) = (lives[i], module.TrueLives[i]);
                late += life.Exclusion == LifeExclusion.OpenedAfterOutcome ? 1 : 0;
                flagged += life.IsFlagged ? 1 : 0;
                if (!life.Counts(includeFlagged: false))
                    continue;
                counted++;
                between += life.Outcome!.Value.Kind == OutcomeKind.Between ? 1 : 0;
                if (!Holds(life, i == 0 ? module.AgeAtEntry : 0, truth))
                    untrue.Add($"module {seed}: {life}, true life {truth}");
            }
        }

        // Of each kind enough, or the test would show nothing.
        Assert.True(counted > 4_000 && between > 1_500 && flagged > 200 && late > 500, $"{counted} {between} {flagged} {late}");
        return (counted, untrue);
    }

    [Fact]
    public void Only_what_was_mistyped_is_left_out_when_readings_abound()
    {
        // One mistyped reading among ten: the largest consistent set is the true one.
        for (var seed = 1; seed <= 500; seed++)
        {
            var random = new Random(seed);
            var wrong = random.Next(1, 10);
            var history = new Scenario.History().Registered().OnHost(0, 1_000);
            for (var n = 1; n <= 10; n++)
                history.Read(n * 20, (1_000 + (n * 160)) * (n == wrong ? 10 : 1));

            var derived = history.Derive();
            Assert.Equal(LifeOutcome.Survived(1_600), derived.Lives[0].Outcome);
            Assert.Equal((1_000 + (wrong * 160)) * 10, derived.Events.SelectMany(e => e.LeftOutReadings).Single().Hours);
        }
    }

    private static bool Holds(Life life, double entry, double truth)
    {
        var outcome = life.Outcome!.Value;
        return life.EntryHours == entry && outcome.Kind switch
        {
            OutcomeKind.Survived => outcome.LowerHours <= truth + Rounding,
            OutcomeKind.Failed => Math.Abs(outcome.LowerHours - truth) <= Rounding,
            _ => outcome.LowerHours < truth + Rounding && truth <= outcome.UpperHours + Rounding,
        };
    }
}
