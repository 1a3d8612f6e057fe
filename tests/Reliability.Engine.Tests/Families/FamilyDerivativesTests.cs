using Reliability.Engine.Abstractions;
using Reliability.Engine.Tests.Fitting;
using Reliability.Engine.Tests.ReferenceValues;

namespace Reliability.Engine.Tests.Families;

/// <summary>A family that gives its derivatives gets the answers it would get without them, with fewer looks at the lives.</summary>
public sealed class FamilyDerivativesTests
{
    // Everything a likelihood can hold: failures, survivors, wide and narrow intervals, one from 0 h, late entry, counts.
    private static readonly LifeSample Sample = new LifeSampleBuilder()
        .AddFailed(310).AddFailed(480, 200).AddFailed(520, 0, 2).AddFailed(700).AddFailed(905).AddSurvived(450).AddSurvived(1200, 600, 3)
        .AddBetween(500, 650, 100).AddBetween(0, 400).AddBetween(800, 800.5).AddSurvived(820)
        .Build();

    [Theory]
    [InlineData(BoundsMethod.LikelihoodRatio)]
    [InlineData(BoundsMethod.NormalApproximation)]
    public void Fits_and_bounds_are_the_same_with_them_and_without(BoundsMethod method)
    {
        var normal = Asked.Model("normal").Family!;
        Assert.IsAssignableFrom<IFamilyDerivatives>(normal);
        var hidden = new WithoutDerivatives(normal);
        var given = new WithDerivatives(normal);
        var options = new FitOptions { BoundsMethod = method };
        Assert.True(BuiltInLifeModels.FromFamily(given, "a test", "1").Fit(Sample, options).TryGet(out var one, out _));
        Assert.True(BuiltInLifeModels.FromFamily(hidden, "a test", "1").Fit(Sample, options).TryGet(out var other, out _));

        // Before any question: means are integrals, which derivatives do not shorten.
        Assert.True(given.Looks < 0.8 * hidden.Looks, $"{given.Looks} looks with derivatives, {hidden.Looks} without");
        Assert.Equal(other.LogLikelihood!.Value, one.LogLikelihood!.Value, 1e-10);
        foreach (var question in FittedLifeQuestions.Of(300))
        {
            var (a, b) = (question(one), question(other));
            Assert.Equal(1, a.Value!.Value / b.Value!.Value, 1e-8);
            Assert.Equal(1, a.StandardError!.Value / b.StandardError!.Value, 1e-6);
            Assert.Equal(1, a.Lower!.Value / b.Lower!.Value, 1e-6);
            Assert.Equal(1, a.Upper!.Value / b.Upper!.Value, 1e-6);
        }
    }

    [Fact]
    public void Where_they_are_not_finite_differences_are_taken()
    {
        var normal = Asked.Model("normal").Family!;
        var options = new FitOptions { BoundsMethod = BoundsMethod.NormalApproximation };
        Assert.True(BuiltInLifeModels.FromFamily(new WithDerivatives(normal) { Spoil = true }, "a test", "1").Fit(Sample, options).TryGet(out var one, out _));
        Assert.True(BuiltInLifeModels.FromFamily(new WithoutDerivatives(normal), "a test", "1").Fit(Sample, options).TryGet(out var other, out _));
        Assert.Equal(other.Covariance, one.Covariance);
    }

    /// <summary>A family as it is, but for what it says of derivatives; counts how often ages are looked at.</summary>
    private class WithoutDerivatives(ILifeFamily family) : ILifeFamily
    {
        public long Looks { get; protected set; }

        public string Id => family.Id;

        public string DisplayName => family.DisplayName;

        public IReadOnlyList<ParameterDescription> Parameters => family.Parameters;

        public bool ScaleEquivariant => family.ScaleEquivariant;

        public bool HasNegativeLives => family.HasNegativeLives;

        public IPlotScale Plot => family.Plot;

        public IReadOnlyList<double[]> Starts(LifeSample sample) => family.Starts(sample);

        public void LogDensity(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
        {
            Looks += hours.Length;
            family.LogDensity(parameters, hours, result);
        }

        public void LogSurvival(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
        {
            Looks += hours.Length;
            family.LogSurvival(parameters, hours, result);
        }

        public void Quantile(ReadOnlySpan<double> parameters, ReadOnlySpan<double> fractions, Span<double> result) =>
            family.Quantile(parameters, fractions, result);

        public double? Mean(ReadOnlySpan<double> parameters) => family.Mean(parameters);
    }

    private sealed class WithDerivatives(ILifeFamily family) : WithoutDerivatives(family), IFamilyDerivatives
    {
        private readonly IFamilyDerivatives _derivatives = (IFamilyDerivatives)family;

        public bool Spoil { get; init; }

        public void LogDensityDerivatives(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
        {
            Looks += hours.Length;
            _derivatives.LogDensityDerivatives(parameters, hours, result);
            if (Spoil && result.Length > 0)
                result[0] = double.NaN;
        }

        public void LogSurvivalDerivatives(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
        {
            Looks += hours.Length;
            _derivatives.LogSurvivalDerivatives(parameters, hours, result);
        }
    }
}
