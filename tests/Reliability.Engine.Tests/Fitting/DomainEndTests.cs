using Reliability.Engine.Abstractions;
using Reliability.Engine.SpecialFunctions;
using Reliability.Engine.Tests.ReferenceValues;

namespace Reliability.Engine.Tests.Fitting;

/// <summary>Estimates near or at an end of their domain: nothing beyond it is asked of the family, and bounds keep to the transform.</summary>
public sealed class DomainEndTests
{
    private static readonly FitOptions Normal = new() { BoundsMethod = BoundsMethod.NormalApproximation };

    private static readonly double Z = NormalQuantile.TwoSided(Normal.ConfidenceLevel);

    private static readonly LifeSample Sample = new LifeSampleBuilder().AddFailed(310).AddFailed(480).AddSurvived(520).Build();

    private static readonly ParameterDescription Scale = ParameterDescription.Positive("scale", "hours");

    // An exponential with a location: mean = location + scale, the age by which a part p has failed = location - scale log(1 - p).
    [Theory]
    [InlineData(0)]
    [InlineData(1e-9)]
    [InlineData(0.3)]
    [InlineData(7)]
    public void A_location_nearer_to_its_limit_than_a_step_moves_what_depends_on_it(double location)
    {
        var fit = Fit(new("location", "hours", 0, double.PositiveInfinity, ParameterTransform.Identity) { IncludesLower = true }, location, [400, 30, 30, 2500]);
        Assert.Equal(1, fit.Mean().StandardError!.Value / Math.Sqrt(400 + 2 * 30 + 2500), 1e-8);
        var slope = Math.Log(2);
        Assert.Equal(1, fit.PercentileLife(0.5).StandardError!.Value / Math.Sqrt(400 + 2 * 30 * slope + 2500 * slope * slope), 1e-8);
        Assert.Equal(20, fit.Parameters[0].Estimate.StandardError!.Value, 1e-7);
    }

    [Fact]
    public void So_does_one_just_below_its_upper_limit()
    {
        var fit = Fit(new("location", "hours", double.NegativeInfinity, 100, ParameterTransform.Identity), 100 - 1e-3, [400, 0, 0, 2500]);
        Assert.Equal(1, fit.Mean().StandardError!.Value / Math.Sqrt(400 + 2500), 1e-8);
    }

    [Fact]
    public void Bounds_of_a_parameter_above_a_limit_are_made_on_the_logarithm_of_its_distance_from_it()
    {
        var location = Fit(new("location", "hours", 5, double.PositiveInfinity, ParameterTransform.Log), 9, [4, 0, 0, 2500]).Parameters[0].Estimate;
        Assert.Equal(9, location.Value);
        Assert.Equal(2, location.StandardError!.Value, 1e-8);
        Assert.Equal(5 + 4 * Math.Exp(-Z * 2 / 4), location.Lower!.Value, 1e-7);
        Assert.Equal(5 + 4 * Math.Exp(Z * 2 / 4), location.Upper!.Value, 1e-7);
    }

    [Fact]
    public void Bounds_of_a_parameter_between_two_limits_are_made_on_the_logit_of_its_place_between_them()
    {
        var location = Fit(new("location", "hours", 2, 10, ParameterTransform.Logit), 4, [1, 0, 0, 2500]).Parameters[0].Estimate;
        double At(double side) => 2 + 8 / (1 + Math.Exp(-(Math.Log(2.0 / 6) + side * Z * 8 / (2 * 6))));
        Assert.Equal(1, location.StandardError!.Value, 1e-8);
        Assert.Equal(At(-1), location.Lower!.Value, 1e-7);
        Assert.Equal(At(1), location.Upper!.Value, 1e-7);
    }

    private static IFittedLife Fit(ParameterDescription location, double at, double[] covariance)
    {
        var family = new Located(location);
        var model = BuiltInLifeModels.FromFamily(family, "a test", "1");
        return DeltaMethod.Fitted(model.Description, family, new FamilyEstimate([at, 350]) { Covariance = covariance }, Sample, Normal);
    }

    /// <summary>An exponential life after a location, which throws when it is asked beyond its domain.</summary>
    private sealed class Located(ParameterDescription location) : ILifeFamily
    {
        public string Id => "located";

        public string DisplayName => "Located";

        public IReadOnlyList<ParameterDescription> Parameters { get; } = [location, Scale];

        public bool ScaleEquivariant => false;

        public IPlotScale Plot => Asked.Model("exponential").Family!.Plot;

        public void LogDensity(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
        {
            Check(parameters);
            for (var i = 0; i < hours.Length; i++)
                result[i] = hours[i] < parameters[0] ? double.NegativeInfinity : -(hours[i] - parameters[0]) / parameters[1] - Math.Log(parameters[1]);
        }

        public void LogSurvival(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
        {
            Check(parameters);
            for (var i = 0; i < hours.Length; i++)
                result[i] = -Math.Max(hours[i] - parameters[0], 0) / parameters[1];
        }

        public void Quantile(ReadOnlySpan<double> parameters, ReadOnlySpan<double> fractions, Span<double> result)
        {
            Check(parameters);
            for (var i = 0; i < fractions.Length; i++)
                result[i] = parameters[0] - parameters[1] * Math.Log(1 - fractions[i]);
        }

        public double? Mean(ReadOnlySpan<double> parameters)
        {
            Check(parameters);
            return parameters[0] + parameters[1];
        }

        private void Check(ReadOnlySpan<double> parameters)
        {
            for (var k = 0; k < parameters.Length; k++)
            {
                if (!Parameters[k].Allows(parameters[k]))
                    throw new InvalidOperationException($"{Parameters[k].Name} is {parameters[k]}.");
            }
        }
    }
}
