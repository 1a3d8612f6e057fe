using Reliability.Engine.Abstractions;
using Reliability.Engine.LocationScale;
using Reliability.Engine.SpecialFunctions;
using Reliability.Engine.Tests.ReferenceValues;

namespace Reliability.Engine.Tests.Families;

/// <summary>
/// Likelihood-ratio bounds where the region of parameters is long, bent and without an end, so that quantities have several extremes along its
/// edge: an inverse Gaussian (Chhikara and Folks 1977) of few failures and late entries, against the least and greatest value on a fine grid.
/// </summary>
public sealed class BentRegionTests
{
    private static readonly LifeSample Sample = new LifeSampleBuilder()
        .AddFailed(14438.6, 10710.2).AddFailed(17440.2, 5637).AddFailed(17247.4, 902.1).AddFailed(10645.9).AddFailed(16470.7).AddFailed(2743.7)
        .AddFailed(3019.3).AddFailed(8917.8).AddSurvived(19254.7, 6158.6).AddSurvived(19898.6, 3571.7).AddSurvived(19343.1, 3933.6)
        .AddSurvived(19779.6, 3324.3).AddSurvived(4256.1, 92.9).AddSurvived(19413.5).AddSurvived(19565.1).AddSurvived(19387).AddSurvived(19196.2)
        .AddSurvived(13804.6).AddSurvived(7520.9).AddSurvived(4761).AddSurvived(1775.2).AddSurvived(1631.5)
        .Build();

    [Fact]
    public void Bounds_are_the_extremes_of_the_whole_region_and_hold_their_value()
    {
        var token = TestContext.Current.CancellationToken;
        var family = new InverseGaussian();
        Assert.True(BuiltInLifeModels.FromFamily(family, "Chhikara and Folks 1977", "1").Fit(Sample, FitOptions.Default, token).TryGet(out var fit, out _));
        double[] ages = [4000, 17600, 28000, 45000, 72000, 300_000];
        var curve = fit.Curve(ages, token);
        var (least, greatest) = OnGrid(family, fit.LogLikelihood!.Value - 3.841458820694124 / 2, ages);
        for (var i = 0; i < ages.Length; i++)
        {
            var failed = curve[i].FailedFraction;
            Assert.True(failed.Lower < failed.Value && failed.Value < failed.Upper, $"{ages[i]} h: {failed.Lower}, {failed.Value}, {failed.Upper}");

            // The grid lies inside of the region, a step from its edge at most.
            Assert.InRange(failed.Lower!.Value, least[i] - 0.01, least[i] + 1e-6);
            Assert.InRange(failed.Upper!.Value, greatest[i] - 1e-6, greatest[i] + 0.01);
        }
    }

    private static (double[] Least, double[] Greatest) OnGrid(InverseGaussian family, double level, double[] ages)
    {
        var likelihood = new Engine.Families.FamilyLikelihood(family, Sample);
        var (least, greatest) = (new double[ages.Length], new double[ages.Length]);
        Array.Fill(least, 1);
        var logs = new double[ages.Length];
        for (var u = Math.Log(12_000); u < Math.Log(1e10); u += u < 13 ? 0.02 : 0.2)
        {
            for (var v = Math.Log(4000); v < Math.Log(60_000); v += 0.01)
            {
                double[] parameters = [Math.Exp(u), Math.Exp(v)];
                if (likelihood.At(parameters, TestContext.Current.CancellationToken) < level)
                    continue;
                family.LogSurvival(parameters, ages, logs);
                for (var i = 0; i < ages.Length; i++)
                {
                    least[i] = Math.Min(least[i], 1 - Math.Exp(logs[i]));
                    greatest[i] = Math.Max(greatest[i], 1 - Math.Exp(logs[i]));
                }
            }
        }

        return (least, greatest);
    }

    private sealed class InverseGaussian : ILifeFamily
    {
        public string Id => "inverse-gaussian";

        public string DisplayName => "Inverse Gaussian";

        public IReadOnlyList<ParameterDescription> Parameters { get; } =
            [ParameterDescription.Positive("mean", "hours"), ParameterDescription.Positive("shape", "hours")];

        public bool ScaleEquivariant => true;

        public IPlotScale Plot => Asked.Model("lognormal").Family!.Plot;

        public void LogDensity(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
        {
            var (mean, shape) = (parameters[0], parameters[1]);
            for (var i = 0; i < hours.Length; i++)
            {
                var t = hours[i];
                result[i] = (Math.Log(shape / (2 * Math.PI)) - 3 * Math.Log(t)) / 2 - shape * (t / mean - 1) * (t / mean - 1) / (2 * t);
            }
        }

        public void LogSurvival(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
        {
            var (mean, shape) = (parameters[0], parameters[1]);
            for (var i = 0; i < hours.Length; i++)
            {
                if (hours[i] == 0)
                {
                    result[i] = 0;
                    continue;
                }

                var root = Math.Sqrt(shape / hours[i]);
                var first = default(StandardNormal).LogSurvival(root * (hours[i] / mean - 1));
                var second = 2 * shape / mean + default(StandardNormal).LogSurvival(root * (hours[i] / mean + 1));
                result[i] = first + NearZero.Log1mExp(Math.Min(second - first, 0));
            }
        }

        public void Quantile(ReadOnlySpan<double> parameters, ReadOnlySpan<double> fractions, Span<double> result) =>
            throw new InvalidOperationException("Not needed here.");

        public double? Mean(ReadOnlySpan<double> parameters) => parameters[0];
    }
}
