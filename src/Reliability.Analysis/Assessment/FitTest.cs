using System.Globalization;
using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>
/// How far a fit lies from the estimate without a model, and how often samples of the fitted model lie as far.
/// </summary>
/// <param name="AndersonDarling">The squared distance, weighted by 1/(F(1-F)), over the ages at which failures were seen, times the lives.</param>
/// <param name="AndersonDarlingPValue">Share of simulated samples with such a distance or a greater one.</param>
/// <param name="Kolmogorov">The greatest distance, times the root of the lives.</param>
/// <param name="KolmogorovPValue">Share of simulated samples with such a distance or a greater one.</param>
/// <param name="Replicates">Samples simulated and fitted.</param>
/// <param name="ReplicatesWithoutFit">Samples that allowed no fit and were left out.</param>
/// <param name="CensoringPlan">How the unseen ends of failed lives were drawn, in words.</param>
public sealed record FitTest(
    double AndersonDarling, double AndersonDarlingPValue, double Kolmogorov, double KolmogorovPValue, int Replicates,
    int ReplicatesWithoutFit, string CensoringPlan)
{
    // Beyond this share those left out may be what decides; common practice, without a published source.
    private const double MuchLeftOut = 0.05;

    /// <summary>
    /// What is to be said of samples that were left out; null when they are few. The p-values are those of samples that could be fitted, and
    /// nobody knows how far the others lay: all of them nearer gives the least p-value, all of them farther the greatest.
    /// </summary>
    /// <param name="lifeModel">Id of the life model tested.</param>
    internal EngineWarning? Caution(string lifeModel)
    {
        var all = Replicates + ReplicatesWithoutFit;
        if (ReplicatesWithoutFit <= MuchLeftOut * all)
            return null;
        return new(
            AnalysisWarningCodes.FitTestSamplesLeftOut,
            $"{lifeModel}: {ReplicatesWithoutFit} of {all} samples simulated from the fit had no fit and were left out of its test. With them p would "
            + $"lie {Between(AndersonDarlingPValue)} (Anderson and Darling) and {Between(KolmogorovPValue)} (Kolmogorov).");

        string Between(double p)
        {
            var reached = p * (1 + Replicates);
            return string.Create(
                CultureInfo.InvariantCulture, $"between {reached / (1 + all):0.###} and {(reached + ReplicatesWithoutFit) / (1 + all):0.###}");
        }
    }
}
