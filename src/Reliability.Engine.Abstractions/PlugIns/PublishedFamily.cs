namespace Reliability.Engine.Abstractions;

/// <summary>A distribution that a plug-in brings.</summary>
/// <param name="Family">The distribution, with one to five parameters.</param>
/// <param name="Source">Where it is published, for example "Birnbaum and Saunders 1969".</param>
public sealed record PublishedFamily(ILifeFamily Family, string Source);
