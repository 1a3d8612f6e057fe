using Reliability.Engine.Abstractions;

namespace Reliability.Engine.LocationScale;

/// <summary>A life distribution whose log time is a location-scale family (Meeker and Escobar 1998, ch. 4).</summary>
internal sealed class LogLocationScaleFamily(
    string id, string displayName, string source, IStandardDistribution distribution, Parameterisation parameterisation,
    IPlotScale plot) : ILifeFamily
{
    public string Id { get; } = id;

    public string DisplayName { get; } = displayName;

    public string Source { get; } = source;

    public IReadOnlyList<ParameterDescription> Parameters => Parameterisation.Parameters;

    public bool ScaleEquivariant => true;

    public IPlotScale Plot { get; } = plot;

    public IReadOnlyList<string> SpecialCaseOf { get; init; } = [];

    public IReadOnlyList<string> BorderCaseOf { get; init; } = [];

    public Parameterisation Parameterisation { get; } = parameterisation;

    public void LogDensity(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
    {
        var (location, sigma) = Parameterisation.ToLocationScale(parameters);
        for (var i = 0; i < hours.Length; i++)
        {
            var logHours = Math.Log(hours[i]);
            result[i] = distribution.LogDensity((logHours - location) / sigma, out _, out _) - Math.Log(sigma) - logHours;
        }
    }

    public void LogSurvival(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
    {
        var (location, sigma) = Parameterisation.ToLocationScale(parameters);
        for (var i = 0; i < hours.Length; i++)
            result[i] = hours[i] <= 0 ? 0 : distribution.LogSurvival((Math.Log(hours[i]) - location) / sigma);
    }

    public void Quantile(ReadOnlySpan<double> parameters, ReadOnlySpan<double> fractions, Span<double> result)
    {
        var (location, sigma) = Parameterisation.ToLocationScale(parameters);
        for (var i = 0; i < fractions.Length; i++)
            result[i] = Math.Exp(location + sigma * distribution.Quantile(fractions[i]));
    }

    public double? Mean(ReadOnlySpan<double> parameters)
    {
        var (location, sigma) = Parameterisation.ToLocationScale(parameters);
        return Math.Exp(location + distribution.LogMean(sigma));
    }
}
