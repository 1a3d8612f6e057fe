using System.Text.Json;
using Google.Protobuf;
using Reliability.Cli.Files;
using Reliability.Cli.Terminals;
using Reliability.V1;

namespace Reliability.Cli.Catalog;

/// <summary>
/// A JSON file of module models: a ModuleModel with its name, a CreateModuleModelRequest, a ListModuleModelsResponse, or
/// a list of these.
/// </summary>
internal static class ModelFile
{
    /// <summary>Reads the requests that add the module models.</summary>
    /// <param name="path">The file.</param>
    /// <param name="id">The id to use where the file says none; null for none.</param>
    /// <exception cref="UsageException">The file cannot be used.</exception>
    public static IReadOnlyList<CreateModuleModelRequest> Read(string path, string? id)
    {
        string text = File.ReadAllText(TextFile.Check(path).Path);
        try
        {
            using JsonDocument document = JsonDocument.Parse(text);
            List<CreateModuleModelRequest> requests = [.. Requests(document.RootElement)];
            foreach (CreateModuleModelRequest request in requests.Where(request => request.ModuleModelId.Length == 0))
            {
                request.ModuleModelId = IdOf(request.ModuleModel) ?? id
                    ?? throw new UsageException($"{path}: a module model has no name \"moduleModels/...\"; give --id.");
            }
            return requests.Count > 0 ? requests : throw new UsageException($"{path}: there is no module model in it.");
        }
        catch (JsonException problem)
        {
            throw new UsageException($"{path}: line {problem.LineNumber + 1}: not JSON.");
        }
        catch (Exception problem) when (problem is InvalidProtocolBufferException or InvalidJsonException or FormatException)
        {
            throw new UsageException($"{path}: not a module model in JSON: {problem.Message}");
        }
    }

    private static IEnumerable<CreateModuleModelRequest> Requests(JsonElement element)
    {
        if (element.ValueKind == JsonValueKind.Array)
            return element.EnumerateArray().SelectMany(Requests);
        string text = element.GetRawText();
        if (element.ValueKind == JsonValueKind.Object && element.TryGetProperty("moduleModel", out _))
            return [JsonParser.Default.Parse<CreateModuleModelRequest>(text)];
        if (element.ValueKind == JsonValueKind.Object && element.TryGetProperty("moduleModels", out _))
        {
            return JsonParser.Default.Parse<ListModuleModelsResponse>(text).ModuleModels
                .Select(model => new CreateModuleModelRequest { ModuleModel = model });
        }
        return [new CreateModuleModelRequest { ModuleModel = JsonParser.Default.Parse<ModuleModel>(text) }];
    }

    private static string? IdOf(ModuleModel model) =>
        model.Name.StartsWith("moduleModels/", StringComparison.Ordinal) ? model.Name["moduleModels/".Length..] : null;
}
