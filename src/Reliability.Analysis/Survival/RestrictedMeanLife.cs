using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>Mean life when every life is counted up to an age limit only.</summary>
/// <param name="AgeLimitHours">The limit in run-hours.</param>
/// <param name="Basis">Where it comes from.</param>
/// <param name="Mean">Hours with bounds; without a value where the data do not reach.</param>
public sealed record RestrictedMeanLife(double AgeLimitHours, AgeLimitBasis Basis, BoundedEstimate Mean);
