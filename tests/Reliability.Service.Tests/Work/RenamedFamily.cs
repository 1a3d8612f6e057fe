using Reliability.Engine.Abstractions;

namespace Reliability.Service.Tests.Work;

/// <summary>A family under another id, as a plug-in could bring it.</summary>
internal sealed class RenamedFamily(ILifeFamily family, string id) : ILifeFamily
{
    public string Id => id;

    public string DisplayName => id;

    public IReadOnlyList<ParameterDescription> Parameters => family.Parameters;

    public bool ScaleEquivariant => family.ScaleEquivariant;

    public IPlotScale Plot => family.Plot;

    public void LogDensity(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result) =>
        family.LogDensity(parameters, hours, result);

    public void LogSurvival(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result) =>
        family.LogSurvival(parameters, hours, result);

    public void Quantile(ReadOnlySpan<double> parameters, ReadOnlySpan<double> fractions, Span<double> result) =>
        family.Quantile(parameters, fractions, result);

    public double? Mean(ReadOnlySpan<double> parameters) => family.Mean(parameters);
}
