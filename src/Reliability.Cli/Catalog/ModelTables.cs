using Reliability.Cli.Answers;
using Reliability.Cli.Terminals;
using Reliability.Files;
using Reliability.V1;
using Spectre.Console;

namespace Reliability.Cli.Catalog;

/// <summary>Module models for people.</summary>
internal static class ModelTables
{
    /// <summary>Writes a list.</summary>
    public static void WriteList(Terminal terminal, IEnumerable<ModuleModel> models)
    {
        Table table = Tables.Of("Module model", "Name", "Part number", "Rated hours", "Fails below output of");
        foreach (ModuleModel model in models)
        {
            table.Row(
                Id(model.Name), model.DisplayName, model.PartNumber,
                string.Join("; ", model.RatedLives.Where(rated => rated.HasRatedHours).Select(rated => $"{NumberText.Of(rated.RatedHours)} ({For(rated)})")),
                Threshold(model));
        }
        if (table.Rows.Count == 0)
            terminal.Line("There are no module models yet. Add one: reliability models create FILE");
        terminal.Write(table);
    }

    /// <summary>Writes one.</summary>
    public static void Write(Terminal terminal, ModuleModel model)
    {
        terminal.Line($"{Id(model.Name)}: {model.DisplayName}");
        Table facts = Tables.Of("", "");
        facts.HideHeaders();
        facts.Row("Part number", model.PartNumber.Length > 0 ? model.PartNumber : NumberText.Absent);
        facts.Row("Fails below output of", Threshold(model));
        foreach (RatedLife rated in model.RatedLives)
        {
            facts.Row($"Rated hours ({For(rated)})", NumberText.Of(rated.HasRatedHours ? rated.RatedHours : null));
            if (rated.HasWarrantyHours || rated.HasWarrantyDays)
                facts.Row($"Warranty ({For(rated)})", Warranty(rated));
        }
        if (model.Costs is { } costs)
        {
            facts.Row("New module", Cost(costs, costs.HasNewModuleCost ? costs.NewModuleCost : null));
            facts.Row("Refurbished module", Cost(costs, costs.HasRefurbishedModuleCost ? costs.RefurbishedModuleCost : null));
            facts.Row("Planned replacement", Cost(costs, costs.HasPlannedReplacementCost ? costs.PlannedReplacementCost : null));
            facts.Row("Failure in service", Cost(costs, costs.HasFailureCost ? costs.FailureCost : null));
        }
        terminal.Write(facts);
        terminal.Cautions(model.Cautions);
    }

    /// <summary>A resource name without its collection.</summary>
    public static string Id(string name) => name[(name.IndexOf('/', StringComparison.Ordinal) + 1)..];

    private static string For(RatedLife rated)
    {
        string condition = rated.ConditionClass == ConditionClass.Unspecified ? "new and refurbished" : ContractWords.Of(rated.ConditionClass);
        return rated.Refurbisher.Length > 0 ? $"{condition}, {rated.Refurbisher}" : condition;
    }

    private static string Warranty(RatedLife rated) => string.Join(" or ", new[]
    {
        rated.HasWarrantyHours ? $"{NumberText.Of(rated.WarrantyHours)} h" : "",
        rated.HasWarrantyDays ? $"{rated.WarrantyDays} days" : "",
    }.Where(text => text.Length > 0));

    private static string Threshold(ModuleModel model) => model.OutputThreshold?.ThresholdCase switch
    {
        OutputThreshold.ThresholdOneofCase.Fraction => $"{NumberText.Percent(model.OutputThreshold.Fraction)} of new",
        OutputThreshold.ThresholdOneofCase.MeasuredValue => $"{NumberText.Of(model.OutputThreshold.MeasuredValue)} {model.OutputUnit}",
        _ => NumberText.Absent,
    };

    private static string Cost(ModuleCosts costs, double? cost) =>
        cost is null ? NumberText.Absent : $"{NumberText.Of(cost)} {costs.CurrencyCode}";
}
