using Reliability.Engine.Abstractions;
using Reliability.Engine.Quantities;

namespace Reliability.Engine.LocationScale;

/// <summary>shape = 1 / sigma, scale = exp(location), as of the Weibull (IEC 61649:2008).</summary>
internal sealed class ShapeScaleParameterisation : Parameterisation
{
    public override IReadOnlyList<ParameterDescription> Parameters { get; } =
        [ParameterDescription.Positive("shape"), ParameterDescription.Positive("scale", "hours")];

    public override IReadOnlyList<LifeQuantity> Quantities { get; } = [LifeQuantities.Shape, LifeQuantities.Scale];

    public override string? FixableParameter => "shape";

    public override double FixedU(double value) => value;

    public override (double Location, double Sigma) ToLocationScale(ReadOnlySpan<double> parameters) =>
        (Math.Log(parameters[1]), 1 / parameters[0]);

    public override IReadOnlyList<(double ByU, double ByV)> Jacobian(LogTimeLife life)
    {
        var scale = Math.Exp(life.Location);
        return [(1, 0), (scale * life.V / (life.U * life.U), -scale / life.U)];
    }
}
