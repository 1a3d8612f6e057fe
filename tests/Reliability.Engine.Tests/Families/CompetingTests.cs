using Reliability.Engine.Abstractions;
using Reliability.Engine.Tests.ReferenceValues;
using Reliability.Reference;

namespace Reliability.Engine.Tests.Families;

/// <summary>One Weibull a failure mode, against values recomputed with R (tests/Reference).</summary>
public sealed class CompetingTests
{
    public static TheoryData<string> Cases() =>
        [.. ReferenceCase.Names.Where(name => ReferenceCase.Load(name).Competing is not null)];

    [Theory]
    [MemberData(nameof(Cases))]
    public void Modes_and_their_series_agree_with_the_reference(string name)
    {
        var reference = ReferenceCase.Load(name);
        var sample = Asked.Sample(reference.Observations);
        var differences = new Differences();
        foreach (var (bounds, level) in new[] { (ReferenceBounds.LikelihoodRatio, 0.95), (ReferenceBounds.NormalApproximation, 0.95), (ReferenceBounds.NormalApproximation, 0.9) })
        {
            var life = Asked.Model("weibull-competing").Fit(sample, Asked.Options(bounds, level)).Value;
            foreach (var (mode, expected) in reference.Competing!.Modes)
            {
                var fitted = life.Modes.Single(m => m.Name == mode);
                expected.Compare(differences, $"{name} {mode}", bounds, level, q => Asked.Ask(fitted.Life, q));
                for (var i = 0; i < 2; i++)
                {
                    var whole = life.Parameters.Single(p => p.Name == $"{fitted.Life.Parameters[i].Name}[{mode}]").Estimate;
                    Assert.Equal(fitted.Life.Parameters[i].Estimate, whole);
                }
            }

            differences.Note(
                $"{name} log-likelihood", reference.Competing.LogLikelihood, life.LogLikelihood,
                Tolerance.LogLikelihood(reference.Competing.LogLikelihood, life.LogLikelihood), Tolerance.Estimate);
            foreach (var (hours, reliability) in reference.Competing.Reliability)
                differences.Relative($"{name} reliability at {hours}", reliability, life.Reliability(hours).Value, Tolerance.Estimate);
            foreach (var (hours, mode, incidence) in reference.Competing.Incidences)
                differences.Relative($"{name} incidence of {mode} at {hours}", incidence, life.Modes.Single(m => m.Name == mode).Incidence(hours), Tolerance.Estimate);
        }

        Assert.True(differences.Compared > 40);
        Assert.True(differences.Misses.Count == 0, differences.ToString());
    }

    [Fact]
    public void The_answer_says_what_it_takes_for_granted_and_counts_failures_of_unknown_mode_as_a_mode()
    {
        var builder = new LifeSampleBuilder();
        for (var i = 1; i <= 12; i++)
            builder.AddFailed(100 * i, failureMode: i % 3 == 0 ? null : i % 3 == 1 ? "bearing" : "seal");
        var life = Asked.Model("weibull-competing").Fit(builder.AddSurvived(1500, count: 4).Build(), FitOptions.Default).Value;

        Assert.Equal(["bearing", "seal", "unknown"], life.Modes.Select(m => m.Name));
        Assert.Equal([4, 4, 4], life.Modes.Select(m => m.FailureCount));
        Assert.True(life.Modes[2].IsUnknown);
        Assert.Contains(life.Warnings, w => w.Code == WarningCodes.IndependentModes);
        Assert.StartsWith("4 failures", life.Warnings.Single(w => w.Code == WarningCodes.UnknownFailureModes).Text, StringComparison.Ordinal);

        // What the modes have taken and what is left are all.
        Assert.Equal(1, life.Modes.Sum(m => m.Incidence(700)) + life.Reliability(700).Value!.Value, 1e-9);
    }

    [Fact]
    public void What_cannot_be_fitted_is_refused_with_its_reason()
    {
        var model = Asked.Model("weibull-competing");
        string? Reason(LifeSampleBuilder lives) => model.Fit(lives.Build(), FitOptions.Default).NotEstimable?.Reason;

        Assert.Equal(NotEstimableReasons.NoFailureModes, Reason(new LifeSampleBuilder().AddFailed(100).AddFailed(200).AddSurvived(300)));
        Assert.Equal(NotEstimableReasons.IntervalOutcomes, Reason(new LifeSampleBuilder().AddBetween(50, 100, failureMode: "seal").AddSurvived(300)));
        Assert.Equal(NotEstimableReasons.NoFailures, Reason(new LifeSampleBuilder().AddSurvived(300)));
        var refused = model.Fit(
            new LifeSampleBuilder().AddFailed(100, failureMode: "seal").AddFailed(200, failureMode: "bearing").Build(), FitOptions.Default).NotEstimable;
        Assert.Equal(NotEstimableReasons.AllFailuresAtGreatestTime, refused?.Reason);
        Assert.Contains("bearing", refused!.Text, StringComparison.Ordinal);
        var many = new LifeSampleBuilder();
        for (var i = 0; i < 21; i++)
            many.AddFailed(100 + i, failureMode: $"mode {i}");
        Assert.Equal(NotEstimableReasons.TooManyFailureModes, Reason(many));
    }
}
