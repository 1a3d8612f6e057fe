using Reliability.Engine.Abstractions;
using Reliability.Engine.Tests.ReferenceValues;

namespace Reliability.Engine.Tests.Fitting;

/// <summary>
/// The mean of lives that may be below 0 h, of families that know no closed form of it, against the closed forms: mu of the normal and
/// the logistic, mu - 0.5772... sigma of the smallest extreme value (Meeker and Escobar 1998, 4.5, 4.8; Euler's constant from tables).
/// </summary>
public sealed class NegativeLivesTests
{
    private const double Euler = 0.57721566490153286061;

    private static readonly LifeSample Sample = new LifeSampleBuilder().AddFailed(1e5).AddSurvived(2e5).Build();

    public static TheoryData<string, double, double> Members() => new()
    {
        { "normal", -5, 1 },
        { "normal", -5, 20 },
        { "normal", 0, 1e-3 },
        { "normal", 3, 1e3 },
        { "normal", 400, 100 },
        { "normal", -50, 1 },
        { "sev", -5, 2 },
        { "sev", 100, 80 },
        { "sev", 1000, 10 },
        { "sev", 7000, 10 },
        { "logistic", -5, 3 },
        { "logistic", 7, 30 },
    };

    [Theory]
    [MemberData(nameof(Members))]
    public void The_mean_is_that_of_all_lives(string id, double mu, double sigma)
    {
        var family = new Unclosed(id);
        var model = BuiltInLifeModels.FromFamily(family, "a test", "1");
        var estimate = new FamilyEstimate([mu, sigma]) { Covariance = [0.01, 0, 0, 0.0004 * sigma * sigma] };
        var mean = DeltaMethod.Fitted(model.Description, family, estimate, Sample, new() { BoundsMethod = BoundsMethod.NormalApproximation }).Mean();
        var drift = id == "sev" ? -Euler : 0;
        Assert.Equal(mu + drift * sigma, mean.Value!.Value, 1e-10 * (Math.Abs(mu) + sigma));
        Assert.Equal(Math.Sqrt(0.01 + 0.0004 * Math.Pow(drift * sigma, 2)), mean.StandardError!.Value, 1e-6 * (0.1 + sigma));
        Assert.True(mean.Lower < mean.Value && mean.Value < mean.Upper);
    }

    [Fact]
    public void A_mean_that_does_not_exist_is_absent()
    {
        var family = new Unclosed("cauchy");
        var model = BuiltInLifeModels.FromFamily(family, "a test", "1");
        var mean = DeltaMethod.Fitted(model.Description, family, new FamilyEstimate([-5, 2]), Sample, new() { BoundsMethod = BoundsMethod.NormalApproximation }).Mean();
        Assert.Null(mean.Value);
        Assert.Contains(mean.Notes, n => n.Code == WarningCodes.NoValue);
    }

    /// <summary>A location and a scale of hours, without a mean.</summary>
    private sealed class Unclosed(string id) : ILifeFamily
    {
        public string Id => id;

        public string DisplayName => id;

        public IReadOnlyList<ParameterDescription> Parameters { get; } =
            [ParameterDescription.Real("mu", "hours"), ParameterDescription.Positive("sigma", "hours")];

        public bool ScaleEquivariant => true;

        public bool HasNegativeLives => true;

        public IPlotScale Plot => Asked.Model("normal").Family!.Plot;

        public void LogDensity(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result) =>
            throw new InvalidOperationException("Not needed for a mean.");

        public void LogSurvival(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
        {
            if (id == "normal")
            {
                Asked.Model("normal").Family!.LogSurvival(parameters, hours, result);
                return;
            }

            for (var i = 0; i < hours.Length; i++)
            {
                var z = (hours[i] - parameters[0]) / parameters[1];
                result[i] = id switch
                {
                    "sev" => -Math.Exp(z),
                    "logistic" => z > 0 ? -z - Math.Log(1 + Math.Exp(-z)) : -Math.Log(1 + Math.Exp(z)),
                    _ => Math.Log(z > 0 ? Math.Atan(1 / z) / Math.PI : 0.5 - Math.Atan(z) / Math.PI),
                };
            }
        }

        public void Quantile(ReadOnlySpan<double> parameters, ReadOnlySpan<double> fractions, Span<double> result)
        {
            if (id == "normal")
            {
                Asked.Model("normal").Family!.Quantile(parameters, fractions, result);
                return;
            }

            for (var i = 0; i < fractions.Length; i++)
            {
                var p = fractions[i];
                result[i] = parameters[0] + parameters[1] * id switch
                {
                    "sev" => Math.Log(p < 1e-8 ? p + p * p / 2 : -Math.Log(1 - p)),
                    "logistic" => Math.Log(p / (1 - p)),
                    _ => p < 0.5 ? -1 / Math.Tan(Math.PI * p) : Math.Tan(Math.PI * (p - 0.5)),
                };
            }
        }

        public double? Mean(ReadOnlySpan<double> parameters) => null;
    }
}
