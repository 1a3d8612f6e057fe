using System.Text;
using Google.Protobuf;
using Reliability.DemoData.Scenario;
using Reliability.DemoData.Simulation;
using Reliability.V1;

namespace Reliability.DemoData.Records;

/// <summary>The files of the invented network, as an integrator could post them.</summary>
internal static class DemoFiles
{
    /// <summary>The seed of the committed files.</summary>
    public const ulong CommittedSeed = 2026;

    /// <summary>What every file says of itself.</summary>
    public const string Heading =
        "Invented data of Brindlemoor Health, a network that does not exist. Made by demo-data/Generator.";

    /// <summary>The catalogue of module models.</summary>
    public const string CatalogueName = "module-models.json";

    /// <summary>The stated truth.</summary>
    public const string TruthName = "truth.json";

    /// <summary>An export of work orders; the mapping beside it is written by hand.</summary>
    public const string WorkOrdersName = "mapping/workorders-orrowby.csv";

    /// <summary>How a file is stored: the export as old systems do, all others as UTF-8.</summary>
    public static Encoding EncodingOf(string name) =>
        name == WorkOrdersName ? Encoding.Latin1 : new UTF8Encoding(encoderShouldEmitUTF8Identifier: false);

    /// <summary>File names and texts, a function of the network and the seed alone.</summary>
    public static IReadOnlyDictionary<string, string> Of(Network network, ulong seed)
    {
        var lives = FleetSimulation.Run(network, seed);
        var files = new SortedDictionary<string, string>(StringComparer.Ordinal)
        {
            [CatalogueName] = CatalogueText(network),
            [TruthName] = TruthFile.Write(network, seed, lives),
        };
        foreach (var hospital in network.Hospitals)
        {
            if (hospital.Form == RecordForm.Events)
                files[$"events-{hospital.Key}.jsonl"] = EventsText(network, hospital, lives, seed);
            else
                files[$"lives-{hospital.Key}.csv"] = LifeSheetCsv.Write(LifeSheet.Of(network, hospital, lives), Heading);
        }
        files[WorkOrdersName] = WorkOrdersText(network, lives, seed);
        return files;
    }

    /// <summary>The last event of every hospital that records events.</summary>
    public static IReadOnlyList<ModuleEvent> LastEvents(Network network, ulong seed)
    {
        var lives = FleetSimulation.Run(network, seed);
        return
        [
            .. network.Hospitals.Where(hospital => hospital.Form == RecordForm.Events)
                .Select(hospital => EventHistory.Of(network, hospital, lives, seed)[^1]),
        ];
    }

    private static string EventsText(Network network, Hospital hospital, IEnumerable<ServiceLife> lives, ulong seed)
    {
        var text = new StringBuilder();
        foreach (var moduleEvent in EventHistory.Of(network, hospital, lives, seed))
            text.Append(JsonFormatter.Default.Format(moduleEvent)).Append('\n');
        return text.ToString();
    }

    /// <summary>The lamps of Orrowby Infirmary again, as work orders.</summary>
    private static string WorkOrdersText(Network network, IEnumerable<ServiceLife> lives, ulong seed)
    {
        var hospital = network.Hospitals.Single(hospital => hospital.Key == "orrowby");
        var lamps = EventHistory.Of(network, hospital, lives, seed).Where(said => said.Module.Contains("-lamp-", StringComparison.Ordinal));
        return WorkOrderExport.Write([.. lamps], Heading);
    }

    private static string CatalogueText(Network network)
    {
        var form = new JsonFormatter(JsonFormatter.Settings.Default.WithIndentation());
        var models = Catalogue.Of(network).Select(model => form.Format(model));
        return "[\n" + string.Join(",\n", models).ReplaceLineEndings("\n") + "\n]\n";
    }
}
