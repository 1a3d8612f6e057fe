using Reliability.Engine.Quantities;

namespace Reliability.Engine.Families;

/// <summary>Something asked of a member of a family, as a function of its natural parameters on the scale of its bounds.</summary>
/// <param name="Scale">The scale.</param>
/// <param name="Transformed">The quantity on it; not finite where it does not exist.</param>
internal sealed record FamilyQuantity(QuantityScale Scale, Func<double[], double> Transformed);
