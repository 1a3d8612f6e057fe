using Google.Protobuf;
using Reliability.V1;

namespace Reliability.EndToEnd.Faults;

/// <summary>The committed demo data, as an integrator would post them.</summary>
internal static class DemoEvents
{
    private static string Folder => Path.Combine(AppContext.BaseDirectory, "demo-data");

    /// <summary>All events, file by file in their order.</summary>
    public static IReadOnlyList<ModuleEvent> Read() =>
    [
        .. Directory.GetFiles(Folder, "*.jsonl").Order(StringComparer.Ordinal)
            .SelectMany(File.ReadLines).Select(line => JsonParser.Default.Parse<ModuleEvent>(line)),
    ];

    /// <summary>The module models, as requests to add them.</summary>
    public static IReadOnlyList<CreateModuleModelRequest> ReadModels()
    {
        using var document = System.Text.Json.JsonDocument.Parse(File.ReadAllBytes(Path.Combine(Folder, "module-models.json")));
        return
        [
            .. document.RootElement.EnumerateArray()
                .Select(request => JsonParser.Default.Parse<CreateModuleModelRequest>(request.GetRawText())),
        ];
    }
}
