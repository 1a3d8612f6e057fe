using Reliability.Cli.Answers;
using Reliability.Cli.Catalog;
using Reliability.Cli.Terminals;
using Reliability.Files;
using Reliability.V1;
using Spectre.Console;

namespace Reliability.Cli.Modules;

/// <summary>Modules for people.</summary>
internal static class ModuleTables
{
    /// <summary>Writes a list.</summary>
    public static void WriteList(Terminal terminal, IEnumerable<Module> modules)
    {
        Table table = Tables.Of("Module", "Serial number", "Model", "Condition", "Site", "State", "Age, h", "Rated, h", "Last reading", "Odd").Numbers(6, 7).Whole(0, 8);
        foreach (Module module in modules)
        {
            table.Row(
                ModelTables.Id(module.Name), Serial(module.Identifiers), ModelTables.Id(module.ModuleModel), Condition(module.Condition), module.Site,
                ContractWords.Of(module.State), NumberText.Range(module.Age), Rated(module), NumberText.Day(module.LastReadingTime), Oddities(module));
        }
        if (table.Rows.Count == 0)
            terminal.Line("No module fits. Check the spelling: attributes and models list what is in use.");
        terminal.Write(table);
    }

    /// <summary>Writes one.</summary>
    public static void Write(Terminal terminal, Module module)
    {
        terminal.Line($"{ModelTables.Id(module.Name)}: {ContractWords.Of(module.State)}");
        Table facts = Tables.Of("", "");
        facts.HideHeaders();
        facts.Row("Module model", ModelTables.Id(module.ModuleModel));
        facts.Row("Identifiers", Identifiers(module.Identifiers));
        Fact(facts, "Also known as", string.Join(", ", module.JoinedModules.Select(ModelTables.Id)));
        facts.Row("Condition", Condition(module.Condition));
        Fact(facts, "Lot", module.Lot);
        Fact(facts, "Site", module.Site);
        Fact(facts, "Host device", string.Join(", ", new[] { module.HostDevice, module.Position, module.HostModel }.Where(text => text.Length > 0)));
        facts.Row("Age in this life", $"{NumberText.Range(module.Age)} h at the last reading, {NumberText.Day(module.LastReadingTime)}");
        facts.Row("Since manufacture", $"{NumberText.Range(module.TotalHours)} h as far as recorded");
        facts.Row("Rated hours", Rated(module));
        facts.Row("Lives on record", NumberText.Count(module.LifeCount));
        if (module.UnresolvedEventCount > 0)
            facts.Row("Events that do not count yet", NumberText.Count(module.UnresolvedEventCount));
        terminal.Write(facts);
        WriteFlags(terminal, module.Flags);
    }

    /// <summary>A condition in words.</summary>
    public static string Condition(Condition? condition) => condition switch
    {
        null => NumberText.Absent,
        { RefurbishmentCount: 0 } => "new",
        { Refurbisher.Length: 0 } => $"refurbished ({condition.RefurbishmentCount})",
        _ => $"refurbished ({condition.RefurbishmentCount}) by {condition.Refurbisher}",
    };

    /// <summary>Identifiers in words.</summary>
    public static string Identifiers(IEnumerable<Identifier> identifiers) =>
        string.Join(", ", identifiers.Select(identifier => $"{ContractWords.Of(identifier.Kind)} {identifier.Value}"));

    /// <summary>The serial number among identifiers; empty when there is none.</summary>
    public static string Serial(IEnumerable<Identifier> identifiers) =>
        identifiers.FirstOrDefault(identifier => identifier.Kind == IdentifierKind.SerialNumber)?.Value ?? "";

    private static void WriteFlags(Terminal terminal, IEnumerable<RecordFlag> flags)
    {
        foreach (RecordFlag flag in flags)
            terminal.Item($"{flag.Text} [{flag.Code}, {flag.Source} {flag.EventId}]");
    }

    private static void Fact(Table table, string name, string value)
    {
        if (value.Length > 0)
            table.Row(name, value);
    }

    private static string Rated(Module module) =>
        module.HasRatedHours ? $"{NumberText.Of(module.RatedHours)} ({ContractWords.Of(module.RatedHoursStatus)})" : NumberText.Absent;

    private static string Oddities(Module module)
    {
        int odd = module.Flags.Count + module.UnresolvedEventCount;
        return odd > 0 ? NumberText.Count(odd) : "";
    }
}
