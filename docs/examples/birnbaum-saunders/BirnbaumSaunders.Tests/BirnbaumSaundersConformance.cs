using BirnbaumSaunders;
using Reliability.Engine.Abstractions;
using Reliability.Engine.Conformance;

/// <summary>The battery: every rule of the contract is a test by its name.</summary>
public sealed class BirnbaumSaundersConformance : FamilyConformance
{
    protected override ILifeFamily Family { get; } = new BirnbaumSaundersFamily();

    protected override string Source => BirnbaumSaundersFamily.Source;

    protected override IReadOnlyList<double[]> Members { get; } = [[0.17, 132], [0.6, 2e4], [1.5, 1e-3]];
}
