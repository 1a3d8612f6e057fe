using Reliability.DemoData.Scenario;
using Reliability.DemoData.Simulation;

namespace Reliability.DemoData.Tests;

public sealed class FleetSimulationTests
{
    private static readonly Network Net = Network.Brindlemoor;

    // Minutes and tenths of an hour are rounded: a recorded age may be off by this.
    private const double Rounding = 0.11;

    public static TheoryData<ulong> Seeds => [1, 2, 3, 4, 5, 6, 7, 8];

    private static bool Failed(ServiceLife life) => life.Outcome is LifeEnd.FailedAtOnce or LifeEnd.FoundFailed;

    [Theory]
    [MemberData(nameof(Seeds))]
    public void What_is_seen_of_a_life_agrees_with_its_true_length(ulong seed)
    {
        foreach (var life in FleetSimulation.Run(Net, seed).Where(life => life.IsRecorded))
        {
            var ageAtEnd = life.AgeAt(life.End);
            Assert.True(life.TrueHours > life.AgeAt(life.Entry) - Rounding, "observed although it had failed before");
            if (!Failed(life))
                Assert.True(life.TrueHours >= ageAtEnd - Rounding, $"survived {ageAtEnd} but lasts {life.TrueHours}");
            else if (life.Outcome == LifeEnd.FailedAtOnce)
                Assert.InRange(life.TrueHours, ageAtEnd - Rounding, ageAtEnd + Rounding);
            else
                Assert.InRange(life.TrueHours, life.AgeAt(life.LastSeenWorking) - Rounding, ageAtEnd + Rounding);
        }
    }

    [Theory]
    [MemberData(nameof(Seeds))]
    public void No_module_runs_beyond_its_rated_hours(ulong seed) =>
        Assert.All(
            FleetSimulation.Run(Net, seed),
            life => Assert.True(life.AgeAt(life.End) <= life.Module.Family.RatedHours + Rounding));

    [Theory]
    [MemberData(nameof(Seeds))]
    public void A_position_holds_one_module_and_a_module_is_in_one_position(ulong seed)
    {
        var lives = FleetSimulation.Run(Net, seed);
        foreach (var inOrder in lives.GroupBy(life => (object)life.Position).Concat(lives.GroupBy(life => (object)life.Module)))
        {
            var turns = inOrder.OrderBy(life => life.Start).ToList();
            for (var turn = 1; turn < turns.Count; turn++)
                Assert.True(turns[turn - 1].Removal < turns[turn].Start);
        }
    }

    [Theory]
    [MemberData(nameof(Seeds))]
    public void A_module_is_refurbished_between_its_lives(ulong seed)
    {
        foreach (var module in FleetSimulation.Run(Net, seed).GroupBy(life => life.Module))
        {
            var lives = module.OrderBy(life => life.Start).ToList();
            Assert.Equal(Enumerable.Range(0, lives.Count), lives.Select(life => life.RefurbishmentCount));
            for (var next = 1; next < lives.Count; next++)
            {
                Assert.True(lives[next - 1].RefurbishedAt <= lives[next].Start);
                Assert.Equal(lives[next - 1].NextRefurbisher, lives[next].Refurbisher);
            }
        }
    }

    /// <summary>
    /// Entry and removal say nothing of when a module would fail: then failures less the cumulative hazard run through is a
    /// martingale (Kalbfleisch and Prentice 2002, ch. 5), with a variance equal to the expected count. Any habit that
    /// spared or picked the weak would push the sum away from 0.
    /// </summary>
    [Fact]
    public void Entry_and_removal_do_not_depend_on_the_failure_to_come()
    {
        var lives = Enumerable.Range(1, 60).SelectMany(seed => FleetSimulation.Run(Net, (ulong)seed))
            .Where(life => life.IsRecorded);
        foreach (var condition in lives.GroupBy(life => (life.Module.Family.ModelId, Refurbished: life.RefurbishmentCount > 0)))
        {
            var failures = condition.Count(Failed);
            var expected = condition.Sum(life => CumulativeHazard(life, Math.Min(life.TrueHours, life.AgeAt(life.End)))
                - CumulativeHazard(life, life.AgeAt(life.Entry)));
            var deviation = (failures - expected) / Math.Sqrt(expected);
            Assert.True(Math.Abs(deviation) < 3.5, $"{condition.Key}: {failures} failures, {expected:0.0} expected");
        }
    }

    [Fact]
    public void Both_ways_of_finding_failures_and_late_entries_are_there()
    {
        var lives = FleetSimulation.Run(Net, 1).Where(life => life.IsRecorded).ToList();

        Assert.Contains(lives, life => life.Outcome == LifeEnd.FailedAtOnce);
        Assert.Contains(lives, life => life.Outcome == LifeEnd.FoundFailed);
        Assert.Contains(lives, life => life.Outcome == LifeEnd.InService);
        Assert.Contains(lives, life => life.EntersLate);
        Assert.Equal(
            Net.Refurbishers.Order(),
            lives.Where(life => life.RefurbishmentCount > 0).Select(life => life.Refurbisher).Distinct().Order());
    }

    private static double CumulativeHazard(ServiceLife life, double hours) => -Math.Log(life.Truth.Reliability(hours));
}
