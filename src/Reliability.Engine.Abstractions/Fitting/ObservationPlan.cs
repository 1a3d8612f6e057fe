namespace Reliability.Engine.Abstractions;

/// <summary>
/// What bounds took for granted about the plan behind a sample: when lives would have been stopped had they not failed.
/// </summary>
/// <param name="Termination">What ended the observation: never unspecified.</param>
/// <param name="Basis">How that is known.</param>
/// <param name="PlannedEnds">Where the ages come from at which failed lives would have been stopped.</param>
public sealed record ObservationPlan(Termination Termination, PlanBasis Basis, PlannedEndSource PlannedEnds);
