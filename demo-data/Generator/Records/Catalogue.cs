using Reliability.DemoData.Scenario;
using Reliability.V1;

namespace Reliability.DemoData.Records;

/// <summary>The module models of the network as its catalogue lists them.</summary>
internal static class Catalogue
{
    /// <summary>One request for each family, ready to be posted.</summary>
    public static IReadOnlyList<CreateModuleModelRequest> Of(Network network) =>
        [.. network.Families.Select(family => new CreateModuleModelRequest
        {
            ModuleModelId = family.ModelId,
            ModuleModel = Model(family),
        })];

    private static ModuleModel Model(Family family)
    {
        var model = new ModuleModel
        {
            Name = "moduleModels/" + family.ModelId,
            DisplayName = family.DisplayName + " (invented)",
            PartNumber = family.PartNumber,
            OutputUnit = family.OutputUnit,
            RatedLives = { new RatedLife { RatedHours = family.RatedHours } },
            Costs = new ModuleCosts
            {
                CurrencyCode = "EUR",
                NewModuleCost = family.Costs.New,
                PlannedReplacementCost = family.Costs.Planned,
                FailureCost = family.Costs.Failure,
            },
            Cautions =
            {
                family.CautionCodes.Select(code => new Caution { Code = code, Text = Cautions.TextOf(code) }),
            },
        };
        if (family.MeasuresOutput)
            model.OutputThreshold = new OutputThreshold { MeasuredValue = family.OutputThreshold };
        if (family.Refurbished is null)
            return model;
        model.Costs.RefurbishedModuleCost = family.Costs.Refurbished;
        model.RatedLives.Add(new RatedLife
        {
            ConditionClass = ConditionClass.Refurbished,
            RatedHours = family.RatedHours,
            WarrantyHours = family.RefurbishedWarrantyHours,
        });
        return model;
    }
}
