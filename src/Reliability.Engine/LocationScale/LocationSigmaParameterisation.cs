using Reliability.Engine.Abstractions;
using Reliability.Engine.Quantities;

namespace Reliability.Engine.LocationScale;

/// <summary>mu and sigma of log hours, as of the lognormal (Meeker and Escobar 1998, 4.6).</summary>
internal sealed class LocationSigmaParameterisation : Parameterisation
{
    public override IReadOnlyList<ParameterDescription> Parameters { get; } =
        [ParameterDescription.Real("mu"), ParameterDescription.Positive("sigma")];

    public override IReadOnlyList<LifeQuantity> Quantities { get; } = [LifeQuantities.Location, LifeQuantities.Sigma];

    public override string? FixableParameter => "sigma";

    public override double FixedU(double value) => 1 / value;

    public override (double Location, double Sigma) ToLocationScale(ReadOnlySpan<double> parameters) =>
        (parameters[0], parameters[1]);

    public override IReadOnlyList<(double ByU, double ByV)> Jacobian(LogTimeLife life) =>
        [(life.V / (life.U * life.U), -1 / life.U), (-1 / (life.U * life.U), 0)];
}
