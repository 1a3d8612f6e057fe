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
    int ReplicatesWithoutFit, string CensoringPlan);
