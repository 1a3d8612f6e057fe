using Reliability.Engine.Abstractions;
using Reliability.Engine.Tests.ReferenceValues;

namespace Reliability.Engine.Tests.Families;

/// <summary>The mixture of two Weibulls: against maxima found by R's general maximisers (optim of R 4.2.2, Nelder-Mead and BFGS restarted in turn from
/// three starts, likelihood by dweibull and pweibull), and its traps. There is no published fit to hold it against.</summary>
public sealed class MixtureTests
{
    [Theory]
    [InlineData(false, -661.222056989, new[] { 0.250870733698, 0.893232685111, 308.425898373, 3.48641265011, 5002.43447006 })]
    [InlineData(true, -654.251581194, new[] { 0.320001448203, 0.873311408019, 305.438879998, 3.37166838873, 4957.29736018 })]
    public void Maximum_agrees_with_general_maximisers(bool lateEntry, double logLikelihood, double[] parameters)
    {
        var life = Asked.Model("weibull-mixture2").Fit(TwoSubpopulations(lateEntry), FitOptions.Default).Value;

        Assert.Equal(logLikelihood, life.LogLikelihood!.Value, 1e-7);
        for (var i = 0; i < parameters.Length; i++)
        {
            var estimate = life.Parameters[i].Estimate;
            Assert.Equal(1, estimate.Value!.Value / parameters[i], 1e-5);
            Assert.True(estimate.Lower < estimate.Value && estimate.Value < estimate.Upper);
        }

        Assert.Contains(life.Warnings, w => w.Code == WarningCodes.LocalMaximum);
        Assert.DoesNotContain(life.Warnings, w => w.Code == WarningCodes.MixtureNotDistinguished);
    }

    [Fact]
    public void Lives_of_one_kind_are_refused_or_said_to_show_hardly_two()
    {
        var builder = new LifeSampleBuilder();
        for (var i = 0; i < 40; i++)
            builder.AddFailed(1000 * Math.Pow(-Math.Log(1 - (i + 0.5) / 40), 1 / 2.0));

        if (Asked.Model("weibull-mixture2").Fit(builder.Build(), FitOptions.Default).TryGet(out var life, out var reason))
            Assert.Contains(life.Warnings, w => w.Code == WarningCodes.MixtureNotDistinguished);
        else
            Assert.Equal(NotEstimableReasons.NotIdentified, reason.Reason);
    }

    [Fact]
    public void A_subpopulation_that_collapses_onto_a_failure_is_no_answer()
    {
        // Ten alike at one age, the rest spread: the likelihood grows without end as one shape does.
        var builder = new LifeSampleBuilder().AddFailed(500, count: 10);
        for (var i = 0; i < 20; i++)
            builder.AddFailed(1000 * Math.Pow(-Math.Log(1 - (i + 0.5) / 20), 1 / 2.0));

        if (Asked.Model("weibull-mixture2").Fit(builder.Build(), FitOptions.Default).TryGet(out var life, out var reason))
            Assert.All(life.Parameters.Where(p => p.Name.EndsWith("shape", StringComparison.Ordinal)), p => Assert.InRange(p.Estimate.Value!.Value, 0, 200));
        else
            Assert.Equal(NotEstimableReasons.NotIdentified, reason.Reason);
        Assert.Equal(
            NotEstimableReasons.NotIdentified,
            Asked.Model("weibull-mixture2").Fit(new LifeSampleBuilder().AddFailed(100).AddFailed(200).AddSurvived(300).Build(), FitOptions.Default).NotEstimable?.Reason);
    }

    private static LifeSample TwoSubpopulations(bool lateEntry)
    {
        var builder = new LifeSampleBuilder();
        double[] ages =
        [
            .. Enumerable.Range(0, 20).Select(i => 300 * Math.Pow(-Math.Log(1 - (i + 0.5) / 20), 1 / 0.9)),
            .. Enumerable.Range(0, 60).Select(i => 5000 * Math.Pow(-Math.Log(1 - (i + 0.5) / 60), 1 / 3.5)),
        ];
        for (var i = 0; i < ages.Length; i++)
        {
            var end = Math.Min(ages[i], 6500);
            var entry = lateEntry && (i + 1) % 4 == 0 ? end / 2 : 0;
            _ = ages[i] <= 6500 ? builder.AddFailed(end, entry) : builder.AddSurvived(end, entry);
        }

        return builder.Build();
    }
}
