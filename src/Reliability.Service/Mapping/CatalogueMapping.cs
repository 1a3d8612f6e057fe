using Reliability.History.Catalogue;
using Reliability.Service.Events;
using Reliability.Store.Catalogue;

namespace Reliability.Service.Mapping;

/// <summary>Module models.</summary>
internal static class CatalogueMapping
{
    public static ModuleModelVersion FromWire(V1.ModuleModel wire) => new()
    {
        EffectiveTime = wire.EffectiveTime?.ToDateTimeOffset(),
        DisplayName = Known(wire.DisplayName),
        PartNumber = Known(wire.PartNumber),
        OutputUnit = Known(wire.OutputUnit),
        OutputThreshold = FromWire(wire.OutputThreshold),
        RatedLives = [.. wire.RatedLives.Select(FromWire)],
        Costs = FromWire(wire.Costs),
        Cautions = [.. wire.Cautions.Select(caution => new Caution { Code = caution.Code, Text = caution.Text })],
    };

    public static V1.ModuleModel ToWire(StoredModuleModel stored)
    {
        var wire = ToWire(stored.Model.Id, stored.Latest);
        wire.Etag = stored.Etag;
        wire.CreateTime = EventWire.Time(stored.CreateTime);
        wire.UpdateTime = EventWire.Time(stored.UpdateTime);
        wire.Revision = stored.Revision.ToString();
        return wire;
    }

    /// <summary>Values that are not stored, as a check alone answers.</summary>
    public static V1.ModuleModel ToWire(string id, ModuleModelVersion values)
    {
        var wire = new V1.ModuleModel
        {
            Name = ResourceNames.ModuleModel(id),
            DisplayName = values.DisplayName ?? string.Empty,
            PartNumber = values.PartNumber ?? string.Empty,
            OutputUnit = values.OutputUnit ?? string.Empty,
            OutputThreshold = ToWire(values.OutputThreshold),
            Costs = ToWire(values.Costs),
            EffectiveTime = EventWire.Time(values.EffectiveTime),
        };
        wire.RatedLives.AddRange(values.RatedLives.Select(ToWire));
        wire.Cautions.AddRange(values.Cautions.Select(ToWire));
        return wire;
    }

    public static V1.Caution ToWire(Caution caution) => new() { Code = caution.Code, Text = caution.Text };

    private static OutputThreshold? FromWire(V1.OutputThreshold? wire) => wire is null ? null : new()
    {
        Fraction = wire.HasFraction ? wire.Fraction : null,
        Value = wire.HasMeasuredValue ? wire.MeasuredValue : null,
    };

    private static V1.OutputThreshold? ToWire(OutputThreshold? threshold) => threshold switch
    {
        { Fraction: { } fraction } => new() { Fraction = fraction },
        { Value: { } value } => new() { MeasuredValue = value },
        _ => null,
    };

    private static RatedLife FromWire(V1.RatedLife wire) => new()
    {
        ConditionClass = CohortMapping.FromWire(wire.ConditionClass),
        Refurbisher = Known(wire.Refurbisher),
        RatedHours = wire.HasRatedHours ? wire.RatedHours : null,
        WarrantyHours = wire.HasWarrantyHours ? wire.WarrantyHours : null,
        WarrantyDays = wire.HasWarrantyDays ? wire.WarrantyDays : null,
    };

    private static V1.RatedLife ToWire(RatedLife rated)
    {
        var wire = new V1.RatedLife
        {
            ConditionClass = CohortMapping.ToWire(rated.ConditionClass),
            Refurbisher = rated.Refurbisher ?? string.Empty,
        };
        if (rated.RatedHours is { } hours)
            wire.RatedHours = hours;
        if (rated.WarrantyHours is { } warrantyHours)
            wire.WarrantyHours = warrantyHours;
        if (rated.WarrantyDays is { } days)
            wire.WarrantyDays = days;
        return wire;
    }

    private static ModuleCosts? FromWire(V1.ModuleCosts? wire) => wire is null ? null : new()
    {
        CurrencyCode = wire.CurrencyCode,
        NewModule = wire.HasNewModuleCost ? wire.NewModuleCost : null,
        RefurbishedModule = wire.HasRefurbishedModuleCost ? wire.RefurbishedModuleCost : null,
        PlannedReplacement = wire.HasPlannedReplacementCost ? wire.PlannedReplacementCost : null,
        Failure = wire.HasFailureCost ? wire.FailureCost : null,
    };

    private static V1.ModuleCosts? ToWire(ModuleCosts? costs)
    {
        if (costs is null)
            return null;
        var wire = new V1.ModuleCosts { CurrencyCode = costs.CurrencyCode };
        if (costs.NewModule is { } newModule)
            wire.NewModuleCost = newModule;
        if (costs.RefurbishedModule is { } refurbished)
            wire.RefurbishedModuleCost = refurbished;
        if (costs.PlannedReplacement is { } planned)
            wire.PlannedReplacementCost = planned;
        if (costs.Failure is { } failure)
            wire.FailureCost = failure;
        return wire;
    }

    private static string? Known(string text) => text.Length == 0 ? null : text;
}
