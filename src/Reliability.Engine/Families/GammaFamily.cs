using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Families;

/// <summary>
/// The gamma distribution, density t^(shape-1) exp(-t/scale) / (scale^shape Gamma(shape)) (Lawless 2003, 1.3; Meeker and
/// Escobar 1998, 5.2, from memory). At shape 1 it is the exponential.
/// </summary>
internal sealed class GammaFamily : LogGammaFamily
{
    public override string Id => "gamma";

    public override string DisplayName => "Gamma";

    public override IReadOnlyList<ParameterDescription> Parameters { get; } =
        [ParameterDescription.Positive("shape"), ParameterDescription.Positive("scale", "hours")];

    public override IReadOnlyList<string> SpecialCaseOf => ["generalized-gamma"];

    public override double? Mean(ReadOnlySpan<double> parameters) => parameters[0] * parameters[1];

    public override IReadOnlyList<double[]> Starts(LifeSample sample)
    {
        var logMean = LogTypical(sample);
        return [.. new[] { 0.3, 1, 2, 5, 20, 100 }.Select(shape => new[] { shape, Math.Exp(logMean) / shape })];
    }

    protected override (double Mu, double Sigma, double Q) LogGamma(ReadOnlySpan<double> parameters)
    {
        var q = 1 / Math.Sqrt(parameters[0]);
        return (Math.Log(parameters[0]) + Math.Log(parameters[1]), q, q);
    }
}
