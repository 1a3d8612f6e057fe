using Reliability.Engine.Abstractions;

namespace Reliability.Engine.PlugIns.Tests.Guarding;

/// <summary>A family that breaks its contract costs its caller a reason, whatever it does.</summary>
public sealed class GuardedFamilyTests
{
    private static readonly LifeSample Sample =
        new LifeSampleBuilder().AddFailed(100).AddFailed(250).AddFailed(400).AddSurvived(500).Build();

    private static CancellationToken Token => TestContext.Current.CancellationToken;

    public static TheoryData<string, OddFamily> Spoilt() => new()
    {
        { "log density at 100 h is NaN, for mean", new OddFamily { SpoilDensity = _ => double.NaN } },
        { "log density at 100 h is Infinity", new OddFamily { SpoilDensity = _ => double.PositiveInfinity } },
        { "log density broke off", new OddFamily { SpoilDensity = _ => throw new ArithmeticException("secret") } },
        { "log survival at 500 h is NaN", new OddFamily { SpoilSurvival = _ => double.NaN } },
        { "log survival at 500 h is", new OddFamily { SpoilSurvival = x => -x } },
        { "log survival broke off", new OddFamily { SpoilSurvival = _ => throw new OperationCanceledException("secret") } },
        { "quantile goes back", new OddFamily { SpoilQuantile = x => 1e6 - x } },
        { "quantile at 0.01 failed is NaN", new OddFamily { SpoilQuantile = _ => double.NaN } },
        { "quantile at 0.01 failed is -", new OddFamily { SpoilQuantile = x => -x } },
        { "quantile of 0.01 is", new OddFamily { SpoilQuantile = x => 2 * x } },
        { "quantile broke off", new OddFamily { SpoilQuantile = _ => throw new InsufficientExecutionStackException("secret") } },
        { "starts broke off", new OddFamily { GiveStarts = () => throw new InvalidOperationException("secret") } },
        { "starts answered nothing", new OddFamily { GiveStarts = () => null! } },
        { "has not 1 parameters", new OddFamily { GiveStarts = () => [[1, 2]] } },
        { "outside of its domain", new OddFamily { GiveStarts = () => [[-1]] } },
    };

    [Theory]
    [MemberData(nameof(Spoilt))]
    public void A_fit_fails_with_what_the_family_did(string reason, OddFamily family)
    {
        var model = PlugInOf.Taken(new([family]));
        var failure = Assert.Throws<LifeModelFailedException>(() => model.Fit(Sample, FitOptions.Default, Token));
        Assert.Equal("odd", failure.ModelId);
        Assert.Contains(reason, failure.Reason, StringComparison.Ordinal);
        Assert.DoesNotContain("secret", failure.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void A_family_that_stops_waiting_when_its_caller_gives_up_has_not_failed()
    {
        using var caller = new CancellationTokenSource();
        var model = PlugInOf.Taken(new([new OddFamily
        {
            SpoilDensity = x =>
            {
                caller.Cancel();
                CallerCancellation.Current.ThrowIfCancellationRequested();
                return x;
            },
        }]));
        Assert.Equal(caller.Token, Assert.ThrowsAny<OperationCanceledException>(() => model.Fit(Sample, FitOptions.Default, caller.Token)).CancellationToken);
        Assert.False(CallerCancellation.Current.CanBeCanceled);
    }

    [Fact]
    public void A_mean_that_cannot_be_fails_the_question_alone()
    {
        var model = PlugInOf.Taken(new([new OddFamily { SpoilMean = _ => double.NaN }]));
        Assert.True(model.Fit(Sample, FitOptions.Default, Token).TryGet(out var fit, out _));
        Assert.NotNull(fit.PercentileLife(0.5, Token).Value);
        Assert.Contains("mean is NaN", Assert.Throws<LifeModelFailedException>(() => fit.Mean(Token)).Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void What_keeps_the_contract_gets_the_answers_it_would_get_unguarded()
    {
        var guarded = PlugInOf.Taken(new([new OddFamily()]));
        var plain = BuiltInLifeModels.FromFamily(new OddFamily(), "a test", "7");
        Assert.True(guarded.Fit(Sample, FitOptions.Default, Token).TryGet(out var one, out _));
        Assert.True(plain.Fit(Sample, FitOptions.Default, Token).TryGet(out var other, out _));
        Assert.Equal(other.LogLikelihood, one.LogLikelihood);
        Assert.Equal(other.Parameters[0].Estimate.Upper, one.Parameters[0].Estimate.Upper);
        Assert.Equal(other.MeanRemainingLife(100, Token).Lower, one.MeanRemainingLife(100, Token).Lower);
        Assert.Equal(other.Curve([50], Token)[0].AxisLower, one.Curve([50], Token)[0].AxisLower);

        // 1,250 hours and three failures: the published estimate of an exponential mean is time on test over failures.
        Assert.Equal(1250.0 / 3, one.Parameters[0].Estimate.Value!.Value, 1e-6);
    }

    [Fact]
    public void Cancellation_is_no_failure()
    {
        using var cancelled = new CancellationTokenSource();
        var family = new OddFamily { SpoilDensity = x => { cancelled.Cancel(); return x; } };
        Assert.ThrowsAny<OperationCanceledException>(() => PlugInOf.Taken(new([family])).Fit(Sample, FitOptions.Default, cancelled.Token));
    }

    [Fact]
    public void Options_are_refused_as_ever()
    {
        var refused = Assert.Throws<UnsupportedRequestException>(() => PlugInOf.Taken(new([new OddFamily()])).Fit(
            Sample, new FitOptions { BoundsMethod = BoundsMethod.Calibrated }, Token));
        Assert.Equal("bounds_method", refused.Option);
    }
}
