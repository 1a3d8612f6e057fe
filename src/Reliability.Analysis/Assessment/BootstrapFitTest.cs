using System.Globalization;
using Reliability.Engine.Abstractions;
using Reliability.Engine.Families;

namespace Reliability.Analysis;

/// <summary>
/// Whether lives look like a fitted distribution: the distances of <see cref="FitDistance"/> against those of samples
/// simulated from the fit and fitted again, which allows for the parameters having been estimated (parametric bootstrap;
/// Stute, Manteiga and Quindimil, Metrika 40 (1993) 243-256). p-values are (1 + as far or farther) / (1 + samples)
/// (Davison and Hinkley 1997, 4.2). The same seed gives the same answer on any number of threads.
/// </summary>
internal static class BootstrapFitTest
{
    private const int MostLives = 5000;

    /// <summary>The test, or why there is none.</summary>
    public static Estimable<FitTest> Of(
        ILifeModel model, IFittedLife fit, LifeSample sample, INonparametricEstimator nonparametric, int replicates, ulong seed,
        CancellationToken cancellationToken)
    {
        if (model.Family is not { } family)
        {
            return new NotEstimable(
                AnalysisWarningCodes.NoFitTest,
                model.Description.Capabilities.FitsFailureModes
                    ? "The test simulates ages alone, and the life model needs the mode of each failure; test the fit of each mode."
                    : "The life model shows no distribution to simulate from.");
        }

        if (sample.HasIntervals)
        {
            return new NotEstimable(
                NotEstimableReasons.IntervalOutcomes, "The test compares with the Kaplan-Meier estimate, which needs the age of each failure.");
        }

        if (SimulatedLives.Of(sample, MostLives) is not { } plan)
        {
            return new NotEstimable(
                AnalysisWarningCodes.NoFitTest, $"The test simulates at most {MostLives:N0} lives, with whole counts; look at the plot instead.");
        }

        double[] parameters = [.. fit.Parameters.Select(p => p.Estimate.Value ?? double.NaN)];
        if (!Array.TrueForAll(parameters, double.IsFinite) || Distance(sample, family, parameters, nonparametric, cancellationToken) is not { } seen)
            return new NotEstimable(AnalysisWarningCodes.NoFitTest, "The fit has no distance to the estimate without a model.");

        var held = fit.Parameters.Where(p => p.IsFixed).ToDictionary(p => p.Name, p => p.Estimate.Value!.Value, StringComparer.Ordinal);
        var offered = held.Count > 0
            ? model.Description.Capabilities.BoundsMethodsWithFixedParameters
            : model.Description.Capabilities.BoundsMethods;
        var options = new FitOptions
        {
            FixedParameters = held,
            BoundsMethod = offered.Contains(BoundsMethod.NormalApproximation) ? BoundsMethod.NormalApproximation : offered.Min(),
        };
        var distances = new (double AndersonDarling, double Kolmogorov)?[replicates];
        PlugInFailures.AloneOf(() => Parallel.For(0, replicates, Callers.Of(family, cancellationToken), k =>
        {
            // A generator a sample: which thread draws it does not matter.
            var random = new Random(unchecked((int)Mixed(unchecked(seed + (ulong)k * 0x9E3779B97F4A7C15))));
            var drawn = plan.Draw(family, parameters, random);
            if (!model.Fit(drawn, options, cancellationToken).TryGet(out var again, out _))
                return;
            double[] refitted = [.. again.Parameters.Select(p => p.Estimate.Value ?? double.NaN)];
            if (Array.TrueForAll(refitted, double.IsFinite))
                distances[k] = Distance(drawn, family, refitted, nonparametric, cancellationToken);
        }));
        var made = distances.OfType<(double AndersonDarling, double Kolmogorov)>().ToList();
        if (made.Count == 0)
        {
            return new NotEstimable(
                AnalysisWarningCodes.NoFitTest, "None of the samples simulated from the fit could be fitted again, so there is nothing to compare with.");
        }

        return new FitTest(
            seen.AndersonDarling,
            (1.0 + made.Count(d => d.AndersonDarling >= seen.AndersonDarling)) / (1 + made.Count),
            seen.Kolmogorov,
            (1.0 + made.Count(d => d.Kolmogorov >= seen.Kolmogorov)) / (1 + made.Count),
            made.Count, replicates - made.Count, plan.Plan + OfLivesBelowZero(family, parameters, sample.TotalCount));
    }

    /// <summary>Fits and distances are those of the whole distribution, lives those above 0 h: hardly a difference, until some would lie below.</summary>
    private static string OfLivesBelowZero(ILifeFamily family, double[] parameters, double lives)
    {
        if (!family.HasNegativeLives)
            return "";
        var atZero = new double[1];
        family.LogSurvival(parameters, [0], atZero);
        var share = 1 - Math.Exp(Math.Min(0, atZero[0]));
        return lives * share > 0.5
            ? string.Create(CultureInfo.InvariantCulture, $" Lives are drawn above 0 h, below which the fitted distribution puts {100 * share:0.##} %: p is a rough guide.")
            : "";
    }

    private static (double AndersonDarling, double Kolmogorov)? Distance(
        LifeSample sample, ILifeFamily family, double[] parameters, INonparametricEstimator nonparametric,
        CancellationToken cancellationToken) =>
        nonparametric.Estimate(sample, 0.95, cancellationToken).TryGet(out var estimate, out _)
            ? FitDistance.Of(estimate.Points, family, parameters, sample.TotalCount, sample.EarliestEntryHours)
            : null;

    /// <summary>The finaliser of SplitMix64 (Steele, Lea and Flood 2014): neighbouring seeds give unrelated ones.</summary>
    private static ulong Mixed(ulong z)
    {
        z = unchecked((z ^ (z >> 30)) * 0xBF58476D1CE4E5B9);
        z = unchecked((z ^ (z >> 27)) * 0x94D049BB133111EB);
        return z ^ (z >> 31);
    }
}
