using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Conformance.Tests;

/// <summary>A right family, of which one thing is made wrong.</summary>
internal class AlteredFamily : ILifeFamily
{
    protected ILifeFamily Right { get; } = BuiltIns.Model("weibull").Family!;

    public virtual string Id => "altered";

    public string DisplayName => "Altered Weibull";

    public virtual IReadOnlyList<ParameterDescription> Parameters => Right.Parameters;

    public bool ScaleEquivariant => true;

    public virtual IPlotScale Plot => Right.Plot;

    public virtual IReadOnlyList<string> SpecialCaseOf => [];

    public virtual IReadOnlyList<double[]> Starts(LifeSample sample) => [];

    public virtual void LogDensity(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result) =>
        Right.LogDensity(parameters, hours, result);

    public virtual void LogSurvival(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result) =>
        Right.LogSurvival(parameters, hours, result);

    public virtual void Quantile(ReadOnlySpan<double> parameters, ReadOnlySpan<double> fractions, Span<double> result) =>
        Right.Quantile(parameters, fractions, result);

    public virtual double? Mean(ReadOnlySpan<double> parameters) => Right.Mean(parameters);

    public virtual double? MeanRemaining(ReadOnlySpan<double> parameters, double ageHours) => null;
}
