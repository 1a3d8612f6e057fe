using Reliability.EndToEnd.Running;
using Reliability.Reference;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.Answers;

/// <summary>Kaplan-Meier and Nelson-Aalen asked over gRPC against R survfit; sources are named in tests/Reference.</summary>
public sealed class SurvivalReferenceTests(SharedService shared)
{
    public static TheoryData<string> Cases() =>
        [.. ReferenceCase.Names.Where(name => ReferenceCase.Load(name).Survival is not null)];

    [Theory]
    [MemberData(nameof(Cases))]
    public async Task Survival_agrees_with_the_reference(string name)
    {
        var reference = ReferenceCase.Load(name);
        var expected = reference.Survival!;

        var answer = await shared.Clients.Analysis.EstimateSurvivalAsync(
            new EstimateSurvivalRequest { Sample = Asked.Sample(reference.Observations) },
            cancellationToken: TestContext.Current.CancellationToken);

        Assert.Equal(0.95, answer.ConfidenceLevel);
        Assert.Equal(expected.Hours.Count, answer.Points.Count);
        var differences = new Differences();
        var (reliability, lower, upper, hazard) =
            (expected.Reliability, expected.Lower95, expected.Upper95, expected.CumulativeHazard);
        var (hours, atRisk, failures) = (expected.Hours, expected.AtRisk, expected.Failures);
        for (var k = 0; k < answer.Points.Count; k++)
        {
            var point = answer.Points[k];
            var label = $"{name}, {point.Hours} h";
            Assert.Equal(hours[k], point.Hours);
            Assert.Equal(atRisk[k], point.AtRisk);
            Assert.Equal(failures[k], point.Failures);
            var survived = Asked.Answer(point.Reliability);
            differences.Relative($"{label}, reliability", reliability[k], survived.Value, Tolerance.Nonparametric);
            differences.Relative($"{label}, lower", lower[k], survived.Lower, Tolerance.Nonparametric);
            differences.Relative($"{label}, upper", upper[k], survived.Upper, Tolerance.Nonparametric);
            differences.Relative(
                $"{label}, cumulative hazard", hazard[k], Asked.Answer(point.CumulativeHazard).Value, Tolerance.Nonparametric);
        }

        Assert.True(differences.Compared > 0);
        Assert.True(differences.Misses.Count == 0, differences.ToString());
    }

    [Fact]
    public async Task Survival_with_intervals_is_the_estimate_of_Turnbull()
    {
        var reference = ReferenceCase.Load("turbine_wheels");

        var answer = await shared.Clients.Analysis.EstimateSurvivalAsync(
            new EstimateSurvivalRequest { Sample = Asked.Sample(reference.Observations) },
            cancellationToken: TestContext.Current.CancellationToken);

        Assert.Equal(SurvivalMethod.Turnbull, answer.Method);
        Assert.All(answer.Points, point => Assert.False(point.HasAtRisk || point.Reliability.HasLower));
        foreach (var interval in reference.Turnbull!.Intervals.Where(i => i.Upper is not null))
        {
            var survival = answer.Points.LastOrDefault(p => p.Hours <= interval.Upper)?.Reliability.Value ?? 1;
            Assert.Equal(interval.SurvivalAfter, survival, Tolerance.Turnbull);
        }
    }

    [Fact]
    public async Task Survival_with_intervals_and_late_entry_counts_lives_from_their_entry_on()
    {
        // One of the two watched there failed in (40, 60]; the third came at 60.
        var sample = new InlineSample();
        sample.Observations.Add(new LifeObservation { FailureInterval = new() { LowerHours = 40, UpperHours = 80 } });
        sample.Observations.Add(new LifeObservation { SurvivalHours = 100 });
        sample.Observations.Add(new LifeObservation { SurvivalHours = 100, EntryHours = 60 });

        var answer = await shared.Clients.Analysis.EstimateSurvivalAsync(
            new EstimateSurvivalRequest { Sample = sample }, cancellationToken: TestContext.Current.CancellationToken);

        var point = Assert.Single(answer.Points);
        Assert.Equal((40, 60), (point.LowerHours, point.Hours));
        Assert.Equal(0.5, point.Reliability.Value, 1e-12);
    }

    [Fact]
    public async Task Incidences_by_mode_and_a_restricted_mean_come_with_the_answer()
    {
        var request = new EstimateSurvivalRequest { Sample = new InlineSample(), AgeLimitHours = 3 };
        request.Sample.Observations.Add(new LifeObservation { FailureHours = 1, FailureMode = "wear" });
        request.Sample.Observations.Add(new LifeObservation { FailureHours = 2, FailureMode = "crack", Count = 2 });
        request.Sample.Observations.Add(new LifeObservation { SurvivalHours = 4 });

        var answer = await shared.Clients.Analysis.EstimateSurvivalAsync(
            request, cancellationToken: TestContext.Current.CancellationToken);

        Assert.Equal([("wear", 0.25), ("crack", 0.5)], answer.Incidences.Select(i => (i.FailureMode, i.Points[^1].Incidence.Value)));
        Assert.Equal(RestrictedMean.Types.LimitBasis.Request, answer.RestrictedMean.LimitBasis);
        Assert.Equal((1 + (2 * 2) + 3) / 4.0, answer.RestrictedMean.Mean.Value, 1e-12);
    }

    /// <summary>Valve seat replacements (Nelson and Doganaksoy 1989); values as tests/Reference says.</summary>
    [Fact]
    public async Task Mean_replacements_agree_with_the_reference()
    {
        var reference = ReferenceCase.Load("valve_seats");
        var expected = reference.MeanCumulative!;
        var request = new EstimateReplacementsRequest();
        foreach (var (end, replacements) in reference.Positions)
            request.Positions.Add(new PositionHistory { EndHours = end, ReplacementHours = { replacements } });

        var answer = await shared.Clients.Analysis.EstimateReplacementsAsync(request, cancellationToken: TestContext.Current.CancellationToken);

        Assert.Equal((41, 48), (answer.PositionCount, answer.ReplacementCount));
        Assert.Equal(expected.Hours, answer.Points.Select(p => p.Hours));
        for (var k = 0; k < answer.Points.Count; k++)
        {
            Assert.Equal(expected.Mean[k], answer.Points[k].MeanReplacements.Value, 1e-10);
            Assert.Equal(Math.Sqrt(expected.Variance[k]), answer.Points[k].MeanReplacements.StandardError, 1e-10);
        }
    }
}
