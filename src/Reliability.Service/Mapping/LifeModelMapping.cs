using Reliability.Engine.Abstractions;

namespace Reliability.Service.Mapping;

/// <summary>What life models say of themselves.</summary>
internal static class LifeModelMapping
{
    public static V1.LifeModel ToWire(LifeModelDescription model, bool isDefault)
    {
        var wire = new V1.LifeModel
        {
            LifeModel_ = model.Id,
            DisplayName = model.DisplayName,
            IsDefault = isDefault,
            EngineVersion = model.Version,
            Source = model.Source,
        };
        if (model.PlugIn is { } plugIn)
            wire.PlugIn = new() { PlugIn = plugIn.Id, Version = plugIn.Version, Publisher = plugIn.Publisher, Hash = plugIn.Hash };
        wire.Parameters.AddRange(model.Parameters.Select(parameter => new V1.LifeModelParameter
        {
            Name = parameter.Name,
            Unit = parameter.Unit,
            CanBeFixed = model.Capabilities.FixableParameters.Contains(parameter.Name),
            Description = Describe(parameter),
        }));
        wire.Capabilities.AddRange(Capabilities(model.Capabilities));
        return wire;
    }

    private static string Describe(ParameterDescription parameter) => (parameter.Lower, parameter.Unit) switch
    {
        (0, "hours") => parameter.IncludesLower ? "0 or more, in run-hours." : "More than 0, in run-hours.",
        (0, _) when parameter.Upper == 1 => "Between 0 and 1.",
        (0, _) => "More than 0, a pure number.",
        (_, "hours") => "Any number, in run-hours.",
        _ => "Any number.",
    };

    /// <summary>Codes that docs/api.md lists.</summary>
    private static IEnumerable<string> Capabilities(LifeModelCapabilities can)
    {
        if (can.SupportsIntervals)
            yield return "INTERVALS";
        if (can.SupportsLateEntry)
            yield return "LATE_ENTRY";
        if (can.BoundsWithoutFailures)
            yield return "BOUNDS_WITHOUT_FAILURES";
        if (can.FitsFailureModes)
            yield return "FAILURE_MODES";
        if (can.ComparesCohorts)
            yield return "COMPARES_COHORTS";
        foreach (var method in can.BoundsMethods.Order())
            yield return "BOUNDS_" + Events.Words.Code(method);
        foreach (var method in can.BoundsMethodsWithFixedParameters.Order())
            yield return "FIXED_PARAMETERS_BOUNDS_" + Events.Words.Code(method);
    }
}
