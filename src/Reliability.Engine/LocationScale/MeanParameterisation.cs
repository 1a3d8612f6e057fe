using Reliability.Engine.Abstractions;
using Reliability.Engine.Quantities;

namespace Reliability.Engine.LocationScale;

/// <summary>The exponential's single parameter: mean = exp(location), sigma = 1.</summary>
internal sealed class MeanParameterisation : Parameterisation
{
    public override IReadOnlyList<ParameterDescription> Parameters { get; } =
        [ParameterDescription.Positive("mean", "hours")];

    public override IReadOnlyList<LifeQuantity> Quantities { get; } = [LifeQuantities.Scale];

    public override string? FixableParameter => null;

    public override double? ConstantU => 1;

    public override double FixedU(double value) => 1;

    public override (double Location, double Sigma) ToLocationScale(ReadOnlySpan<double> parameters) =>
        (Math.Log(parameters[0]), 1);

    public override IReadOnlyList<(double ByU, double ByV)> Jacobian(LogTimeLife life) =>
        [(0, -Math.Exp(life.Location))];
}
