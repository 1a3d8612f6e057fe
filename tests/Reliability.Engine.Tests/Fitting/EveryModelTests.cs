using CsCheck;
using Reliability.Engine.Abstractions;
using Reliability.Engine.Tests.ReferenceValues;

namespace Reliability.Engine.Tests.Fitting;

/// <summary>What must hold of every life model of the catalogue, for every sample.</summary>
public sealed class EveryModelTests
{
    private static readonly FitOptions Plain = new() { BoundsMethod = BoundsMethod.NormalApproximation };

    public static TheoryData<string> Models() => [.. Asked.Catalog.Models.Select(m => m.Description.Id)];

    [Theory]
    [MemberData(nameof(Models))]
    public void Times_times_a_factor_gives_lives_times_it_and_the_same_shape(string id) =>
        Fits(id, 16, (model, sample, life, random) =>
        {
            if (!model.Description.Capabilities.ScaleEquivariant)
                return;
            var factor = Math.Pow(10, random.NextDouble() * 12 - 6);
            var scaled = model.Fit(sample.Rebuilt(row => row with
            {
                Lower = row.Lower * factor,
                Upper = row.Upper * factor,
                Entry = row.Entry * factor,
            }), Plain).Value;
            for (var i = 0; i < life.Parameters.Count; i++)
            {
                var expected = life.Parameters[i].Estimate.Value!.Value * (IsHours(life, i) ? factor : 1);
                if (life.Model.Parameters[i].Name == "mu" && !IsHours(life, i))
                    expected += Math.Log(factor);
                Near(expected, scaled.Parameters[i].Estimate.Value!.Value, 1e-5, 1e-5);
            }

            Near(life.PercentileLife(0.1).Value!.Value * factor, scaled.PercentileLife(0.1).Value!.Value, 1e-6);
            Near(life.MeanRemainingLife(sample.OldestHours / 3).Value!.Value * factor, scaled.MeanRemainingLife(sample.OldestHours * factor / 3).Value!.Value, 1e-5);
        });

    [Theory]
    [MemberData(nameof(Models))]
    public void Splitting_counts_changes_nothing(string id) =>
        Fits(id, 12, (model, sample, life, _) =>
        {
            var split = new LifeSampleBuilder();
            foreach (var row in sample.Rows())
            {
                for (var k = 0; k < row.Count; k++)
                    split.Add(row with { Count = 1 });
            }

            var parts = model.Fit(split.Build(), Plain).Value;
            Near(life.LogLikelihood!.Value, parts.LogLikelihood!.Value, 1e-9, 1e-9);
            Near(life.PercentileLife(0.1).Value!.Value, parts.PercentileLife(0.1).Value!.Value, 1e-6);
        });

    [Theory]
    [MemberData(nameof(Models))]
    public void An_interval_narrowing_onto_a_point_gives_the_exact_answer(string id) =>
        Fits(id, 12, (model, sample, life, random) =>
        {
            if (!model.Description.Capabilities.SupportsIntervals)
                return;
            var width = Math.Pow(10, -13 + 4 * random.NextDouble());
            var narrow = model.Fit(sample.Rebuilt(row => row.Outcome == LifeOutcome.Failed
                ? row with { Outcome = LifeOutcome.Between, Lower = Math.Max(row.Entry, row.Lower * (1 - width)), Upper = row.Upper * (1 + width) }
                : row), Plain).Value;
            Near(life.PercentileLife(0.1).Value!.Value, narrow.PercentileLife(0.1).Value!.Value, 1e-5);
            Near(life.PercentileLife(0.5).Value!.Value, narrow.PercentileLife(0.5).Value!.Value, 1e-5);
        });

    [Theory]
    [MemberData(nameof(Models))]
    public void Quantile_inverts_survival_both_are_monotone_and_the_density_integrates_to_the_failed_fraction(string id) =>
        Fits(id, 16, (model, _, life, _) =>
        {
            var family = life.Family ?? model.Family!;
            double[] parameters = [.. life.Parameters.Select(p => p.Estimate.Value!.Value)];
            double[] fractions = [1e-6, 0.01, 0.1, 0.25, 0.5, 0.75, 0.9, 0.999];
            var (hours, logs) = (new double[fractions.Length], new double[fractions.Length]);
            family.Quantile(parameters, fractions, hours);
            family.LogSurvival(parameters, hours, logs);
            for (var i = 0; i < fractions.Length; i++)
            {
                Assert.Equal(1 - fractions[i], Math.Exp(logs[i]), 1e-10);
                Assert.True(i == 0 || (hours[i] > hours[i - 1] && logs[i] < logs[i - 1]));
            }

            // Simpson's rule, each stretch between two quantiles by itself.
            const int Halves = 4000;
            for (var i = 2; i + 2 < fractions.Length; i++)
            {
                var step = (hours[i + 1] - hours[i]) / Halves;
                double[] at = [.. Enumerable.Range(0, Halves + 1).Select(k => hours[i] + k * step)];
                var density = new double[at.Length];
                family.LogDensity(parameters, at, density);
                var sum = density.Select((d, k) => (k == 0 || k == Halves ? 1 : k % 2 == 1 ? 4 : 2) * Math.Exp(d)).Sum();
                Assert.Equal(fractions[i + 1] - fractions[i], sum * step / 3, 1e-6);
            }
        });

    /// <summary>The log-likelihood written anew from the distribution: the same number, level at the estimate and lower around it.</summary>
    [Theory]
    [MemberData(nameof(Models))]
    public void The_log_likelihood_is_that_of_the_distribution_and_its_slope_at_the_estimate_is_none(string id) =>
        Fits(id, 16, (model, sample, life, _) =>
        {
            // The likelihood of ages and modes is not that of the ages alone.
            if (model.Description.Capabilities.FitsFailureModes)
                return;
            var family = life.Family ?? model.Family!;
            double[] parameters = [.. life.Parameters.Select(p => p.Estimate.Value!.Value)];
            var greatest = LogLikelihood(family, parameters, sample);
            Near(life.LogLikelihood!.Value, greatest, 1e-9, 1e-8);
            for (var i = 0; i < parameters.Length; i++)
            {
                if (life.Parameters[i].Estimate.StandardError is not { } error || error > 1e3 * Math.Abs(parameters[i]))
                    continue;
                var step = 1e-3 * error;
                double[] above = [.. parameters], below = [.. parameters];
                above[i] += step;
                below[i] -= step;
                if (!family.Parameters[i].Allows(below[i]))
                    continue;
                var slope = (LogLikelihood(family, above, sample) - LogLikelihood(family, below, sample)) / (2 * step) * error;
                if (double.IsNegativeInfinity(LogLikelihood(family, above, sample)))
                    continue;
                Assert.True(Math.Abs(slope) < 1e-3, $"{life.Parameters[i].Name}: slope {slope}");
            }
        });

    [Theory]
    [MemberData(nameof(Models))]
    public void Bounds_hold_the_estimate(string id)
    {
        var model = Asked.Model(id);
        foreach (var method in model.Description.Capabilities.BoundsMethods.Where(m => m != BoundsMethod.Bootstrap))
        {
            Fits(id, 4, (_, sample, _, _) =>
            {
                if (!model.Fit(sample, new FitOptions { BoundsMethod = method }).TryGet(out var life, out var reason))
                {
                    Assert.False(string.IsNullOrWhiteSpace(reason.Text));
                    return;
                }

                foreach (var question in FittedLifeQuestions.Of(sample.OldestHours / 3).Append(l => l.Parameters[0].Estimate))
                {
                    var answer = question(life);
                    Assert.True(
                        (answer.Lower ?? double.MinValue) <= answer.Value * (1 + 1e-12) && answer.Value * (1 - 1e-12) <= (answer.Upper ?? double.MaxValue),
                        $"{method} {answer}");
                }
            });
        }
    }

    /// <summary>Fits to seeded samples that suit the model; a check that none allowed would check nothing.</summary>
    private static void Fits(string id, int cases, Action<ILifeModel, LifeSample, IFittedLife, Random> check)
    {
        var model = Asked.Model(id);
        var fitted = 0;
        var samples = model.Description.Parameters.Count > 4 ? RandomSamples.Mixed : RandomSamples.Ordinary;
        samples.Select(sample => Suited(model, sample)).Cases(cases, sample =>
        {
            if (!model.Fit(sample, Plain).TryGet(out var life, out var reason))
            {
                Assert.False(string.IsNullOrWhiteSpace(reason.Reason) || string.IsNullOrWhiteSpace(reason.Text));
                return;
            }

            fitted++;
            check(model, sample, life, new Random(sample.RowCount));
        });
        Assert.True(fitted > 0, $"No sample of {cases} allowed a fit.");
    }

    private static LifeSample Suited(ILifeModel model, LifeSample sample)
    {
        var capabilities = model.Description.Capabilities;
        var failures = 0;
        return sample.Rebuilt(row =>
        {
            if (row.Outcome == LifeOutcome.Between && !capabilities.SupportsIntervals)
                row = row with { Outcome = LifeOutcome.Failed, Lower = row.Upper };
            return capabilities.FitsFailureModes && row.Outcome == LifeOutcome.Failed ? row with { Mode = failures++ % 3 == 2 ? "b" : "a" } : row;
        });
    }

    private static double LogLikelihood(ILifeFamily family, double[] parameters, LifeSample sample)
    {
        double Log(Action<double[], double[]> ask, double hours)
        {
            var result = new double[1];
            ask([hours], result);
            return result[0];
        }

        double Survival(double hours) => hours > 0 ? Log((h, r) => family.LogSurvival(parameters, h, r), hours) : 0;
        double sum = 0;
        foreach (var row in sample.Rows())
        {
            sum -= row.Count * Survival(row.Entry);
            sum += row.Count * row.Outcome switch
            {
                LifeOutcome.Failed => Log((h, r) => family.LogDensity(parameters, h, r), row.Lower),
                LifeOutcome.Survived => Survival(row.Lower),
                _ => Math.Log(Math.Exp(Survival(row.Lower)) - Math.Exp(Survival(row.Upper))),
            };
        }

        return sum;
    }

    private static bool IsHours(IFittedLife life, int i) => life.Model.Parameters[i].Unit == "hours";

    private static void Near(double expected, double actual, double relative, double absolute = 0) =>
        Assert.True(
            Math.Abs(actual - expected) <= relative * Math.Abs(expected) + (absolute > 0 ? absolute * Math.Min(1, 1 + Math.Abs(expected)) : 0),
            $"{expected:R} against {actual:R}");
}
