using BirnbaumSaunders;
using Reliability.Engine.Abstractions;
using Reliability.Engine.Conformance;

/// <summary>The battery for the estimator.</summary>
public sealed class GraphicalConformance : LifeModelConformance
{
    protected override ILifeModel Model { get; } = new GraphicalBirnbaumSaunders();

    protected override IReadOnlyList<double[]> Members { get; } = [[0.17, 132], [0.6, 2e4]];
}
