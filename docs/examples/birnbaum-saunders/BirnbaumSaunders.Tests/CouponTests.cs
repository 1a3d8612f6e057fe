using BirnbaumSaunders;
using Reliability.Engine;
using Reliability.Engine.Abstractions;
using Xunit;

/// <summary>
/// Lives of 101 coupons of aluminium 6061-T6 in thousands of cycles, greatest stress 31,000 psi (Birnbaum and Saunders, Journal of Applied
/// Probability 6 (1969) 328-347, whose estimates are alpha 0.1704 and beta 131.8; lives and estimates from memory). The expected numbers are
/// those of R's optim on the likelihood written out anew: estimates.R.
/// </summary>
public sealed class CouponTests
{
    private static readonly double[] Lives =
    [
        .. File.ReadAllText(Path.Combine(AppContext.BaseDirectory, "coupons.txt"))
            .Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries).Select(double.Parse),
    ];

    [Theory]
    [InlineData(double.PositiveInfinity, 0.17038469, 0.01198822, 131.818792, 2.226721, -457.27052782, 106.006765)]
    [InlineData(150, 0.17486274, 0.01462315, 132.232289, 2.380460, -376.47722584, 105.734454)]
    public void Estimates_are_those_of_the_source_and_of_R(
        double stoppedAt, double alpha, double alphaError, double beta, double betaError, double logLikelihood, double b10)
    {
        var sample = new LifeSampleBuilder();
        foreach (var life in Lives)
        {
            if (life <= stoppedAt)
                sample.AddFailed(life);
            else
                sample.AddSurvived(stoppedAt);
        }

        var fit = BuiltInLifeModels.FromFamily(new BirnbaumSaundersFamily(), BirnbaumSaundersFamily.Source, "1.0.0")
            .Fit(sample.Build(), FitOptions.Default).Value;

        Assert.Equal(alpha, fit.Parameters[0].Estimate.Value!.Value, 1e-6);
        Assert.Equal(alphaError, fit.Parameters[0].Estimate.StandardError!.Value, 1e-5);
        Assert.Equal(beta, fit.Parameters[1].Estimate.Value!.Value, 1e-3);
        Assert.Equal(betaError, fit.Parameters[1].Estimate.StandardError!.Value, 1e-3);
        Assert.Equal(logLikelihood, fit.LogLikelihood!.Value, 1e-6);
        Assert.Equal(b10, fit.PercentileLife(0.1).Value!.Value, 1e-3);
    }
}
