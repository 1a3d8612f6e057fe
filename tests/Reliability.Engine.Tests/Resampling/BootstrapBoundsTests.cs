using Reliability.Engine.Abstractions;
using Reliability.Engine.Tests.ReferenceValues;

namespace Reliability.Engine.Tests.Resampling;

public sealed class BootstrapBoundsTests
{
    private static CancellationToken Token => TestContext.Current.CancellationToken;

    private static readonly FitOptions Options = new() { BoundsMethod = BoundsMethod.Bootstrap, Replicates = 9999, Seed = 20261128 };

    /// <summary>
    /// For a complete lognormal sample the studentised log B50 is Student's t up to the factor between the two standard errors, so that
    /// percentile-t bounds are Student's, and those of sigma chi-square's: m -+ qt(.975, 4) s / sqrt(5) and s sqrt(4 / qchisq(.)) by R.
    /// </summary>
    [Fact]
    public void Bounds_of_a_complete_lognormal_sample_are_student_s_within_the_error_of_counting()
    {
        var fit = Asked.Model("lognormal").Fit(Sets.Of("B"), Options with { Replicates = 20_000 }, Token).Value;

        var mu = fit.Parameters[0].Estimate;
        var sigma = fit.Parameters[1].Estimate;

        // Quantiles of 20,000 draws: about 1.1 % of the density's width there; t with 4 degrees has long tails.
        Assert.Equal(3.551442445, mu.Lower!.Value, 0.03);
        Assert.Equal(4.790332454, mu.Upper!.Value, 0.03);
        Assert.Equal(1, sigma.Lower!.Value / 0.2988973107, 0.02);
        Assert.Equal(1, sigma.Upper!.Value / 1.433567925, 0.05);
    }

    [Theory]
    [InlineData("weibull", "A")]
    [InlineData("weibull", "D")]
    [InlineData("weibull", "late")]
    [InlineData("lognormal", "E")]
    [InlineData("loglogistic", "inspected")]
    [InlineData("exponential", "A")]
    [InlineData("gamma", "A")]
    [InlineData("gamma", "late")]
    public void The_answer_says_what_it_rests_on_and_repeats_itself(string model, string set)
    {
        var options = Options with { Replicates = 499 };
        var fit = Asked.Model(model).Fit(Sets.Of(set), options, Token).Value;
        var again = Asked.Model(model).Fit(Sets.Of(set), options, Token).Value;
        var other = Asked.Model(model).Fit(Sets.Of(set), options with { Seed = 2 }, Token).Value;

        Assert.Equal(BoundsMethod.Bootstrap, fit.BoundsMethod);
        Assert.Equal((499, 20261128UL), (fit.Simulation!.Replicates, fit.Simulation.Seed));
        Assert.Contains(set == "D" ? "failure number 5" : "Lives are stopped", fit.Simulation.Plan, StringComparison.Ordinal);
        Assert.Equal(set == "late", fit.Simulation.Plan.Contains("own age", StringComparison.Ordinal));
        Assert.Equal(set == "inspected", fit.Simulation.Plan.Contains("inspections", StringComparison.Ordinal));
        Assert.NotNull(fit.Plan);
        foreach (var ask in (Func<IFittedLife, BoundedEstimate>[])
            [life => life.PercentileLife(0.1), life => life.Reliability(150), life => life.RemainingLife(100, 0.5)])
        {
            var estimate = ask(fit);
            Assert.True(estimate.Lower <= estimate.Value && estimate.Value <= estimate.Upper, $"{estimate}");
            Assert.Equal((estimate.Lower, estimate.Upper), (ask(again).Lower, ask(again).Upper));
            Assert.NotEqual((estimate.Lower, estimate.Upper), (ask(other).Lower, ask(other).Upper));
        }
    }

    /// <summary>The generic way, with the shape held at 1 in the gamma, is that of the exponential: both simulate the same hazards.</summary>
    [Fact]
    public void Any_family_is_simulated_as_the_others_are()
    {
        var held = Options with { Replicates = 499, FixedParameters = new Dictionary<string, double> { ["shape"] = 1 } };
        var gamma = Asked.Model("gamma").Fit(Sets.Of("E"), held, Token).Value;
        var exponential = Asked.Model("exponential").Fit(Sets.Of("E"), Options with { Replicates = 499 }, Token).Value;

        foreach (var ask in (Func<IFittedLife, BoundedEstimate>[])[life => life.Mean(), life => life.PercentileLife(0.1), life => life.Reliability(200)])
        {
            var (one, other) = (ask(gamma), ask(exponential));
            Assert.Equal(other.Lower!.Value, one.Lower!.Value, 1e-5 * other.Lower.Value);
            Assert.Equal(other.Upper!.Value, one.Upper!.Value, 1e-5 * other.Upper.Value);
        }
    }

    [Fact]
    public void Samples_without_an_estimate_are_counted_and_told()
    {
        var sample = new LifeSampleBuilder().AddFailed(300).AddFailed(450).AddSurvived(500, 0, 8).Build();

        var fit = Asked.Model("weibull").Fit(sample, Options with { Replicates = 999 }, Token).Value;

        Assert.True(fit.Simulation!.WithoutEstimate > 50);
        var told = Assert.Single(fit.Warnings, w => w.Code == WarningCodes.ReplicatesWithoutEstimate);
        Assert.Contains($"{fit.Simulation.WithoutEstimate} of 999", told.Text, StringComparison.Ordinal);

        // More than 2.5 % of samples see no failure: their lives are without end, so that no lower bound of a life can be had.
        var life = fit.PercentileLife(0.1, Token);
        Assert.Null(life.Lower);
        Assert.NotNull(life.Upper);
        Assert.Contains(life.Notes, note => note.Code == WarningCodes.NoLowerBound);
    }

    [Fact]
    public void What_cannot_be_simulated_is_refused_with_the_reason()
    {
        foreach (var sample in new[]
        {
            new LifeSampleBuilder().AddFailed(100, 0, 1.5).AddFailed(200).AddSurvived(300).Build(),
            new LifeSampleBuilder().AddFailed(100, 0, 10_001).AddFailed(200).AddSurvived(300, 0, 10_000).Build(),
        })
        {
            Assert.False(Asked.Model("weibull").Fit(sample, Options, Token).TryGet(out _, out var reason));
            Assert.Equal(NotEstimableReasons.CannotBeSimulated, reason.Reason);
            Assert.Contains("20,000 lives here, with whole counts", reason.Text, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void A_fit_with_many_replicates_can_be_cancelled()
    {
        using var stop = new CancellationTokenSource(TimeSpan.FromMilliseconds(50));

        Assert.ThrowsAny<OperationCanceledException>(() => Asked.Model("lognormal").Fit(
            new LifeSampleBuilder().AddFailed(100, 0, 5_000).AddFailed(200, 0, 5_000).AddSurvived(300, 0, 10_000).Build(),
            Options with { Replicates = 20_000 }, stop.Token));
    }
}
