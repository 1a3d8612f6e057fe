using System.CommandLine;
using Google.Protobuf;
using Reliability.Cli.Connections;
using Reliability.Cli.Files;
using Reliability.Cli.Posting;
using Reliability.Cli.Terminals;
using Reliability.V1;

namespace Reliability.Cli.Catalog;

/// <summary>Module models: list, show, create.</summary>
internal sealed class ModelsCommand(CommandContext context)
{
    private const int LargestPage = 1000;

    /// <summary>The command with those below it.</summary>
    public Command Create() => new("models", "Module models: rated hours, output thresholds, costs, cautions.")
    {
        List(), Show(), CreateModel(),
    };

    private Command List()
    {
        ListOptions options = new();
        Command command = new("list", "List module models.");
        options.AddTo(command);
        return context.Asking(command, async (connection, parse, cancellation) =>
        {
            ListModuleModelsResponse all = new();
            bool more = await PageReader.ReadAsync(options.Limit(parse), LargestPage, async (size, token) =>
            {
                ListModuleModelsResponse page = await connection.Catalog.ListModuleModelsAsync(
                    new ListModuleModelsRequest { PageSize = size, PageToken = token }, cancellationToken: cancellation).ConfigureAwait(false);
                all.ModuleModels.Add(page.ModuleModels);
                all.NextPageToken = page.NextPageToken;
                return (page.ModuleModels.Count, page.NextPageToken);
            }).ConfigureAwait(false);
            return context.Answer(parse, all, answer =>
            {
                ModelTables.WriteList(context.Terminal, answer.ModuleModels);
                ListOptions.TellMore(context.Terminal, more, answer.ModuleModels.Count);
            });
        });
    }

    private Command Show()
    {
        Argument<string> id = new("ID") { Description = "The id of the module model." };
        Command command = new("show", "Show a module model.") { id };
        return context.Asking(command, async (connection, parse, cancellation) =>
        {
            ModuleModel model = await connection.Catalog.GetModuleModelAsync(
                new GetModuleModelRequest { Name = SheetEvent.ModelName(parse.GetRequiredValue(id)) }, cancellationToken: cancellation).ConfigureAwait(false);
            return context.Answer(parse, model, answer => ModelTables.Write(context.Terminal, answer));
        });
    }

    private Command CreateModel()
    {
        Argument<string> file = new("FILE") { Description = "A ModuleModel as JSON, or {\"moduleModels\": [...]} with several." };
        Option<string?> id = new("--id") { Description = "The id, where the file has no name for it." };
        Option<bool> validateOnly = new("--validate-only") { Description = "Check everything, change nothing." };
        Command command = new("create", "Add module models from a JSON file.") { file, id, validateOnly };
        return context.Asking(command, async (connection, parse, cancellation) =>
        {
            ListModuleModelsResponse created = new();
            foreach (ModuleModel model in ReadModels(parse.GetRequiredValue(file)))
            {
                CreateModuleModelRequest request = new()
                {
                    ModuleModelId = parse.GetValue(id) ?? IdOf(model),
                    ModuleModel = model,
                    ValidateOnly = parse.GetValue(validateOnly),
                };
                created.ModuleModels.Add(await connection.Catalog.CreateModuleModelAsync(request, cancellationToken: cancellation).ConfigureAwait(false));
            }
            return created.ModuleModels.Count == 1
                ? context.Answer(parse, created.ModuleModels[0], answer => ModelTables.Write(context.Terminal, answer))
                : context.Answer(parse, created, answer => ModelTables.WriteList(context.Terminal, answer.ModuleModels));
        });
    }

    /// <summary>Reads one module model or several from a file.</summary>
    /// <exception cref="UsageException">The file cannot be used.</exception>
    internal static IReadOnlyList<ModuleModel> ReadModels(string path)
    {
        string text = File.ReadAllText(TextFile.Check(path).Path);
        try
        {
            // The list is told by its one field; a module model has none of that name.
            return text.Contains("\"moduleModels\"", StringComparison.Ordinal)
                ? [.. JsonParser.Default.Parse<ListModuleModelsResponse>(text).ModuleModels]
                : [JsonParser.Default.Parse<ModuleModel>(text)];
        }
        catch (Exception problem) when (problem is InvalidProtocolBufferException or FormatException)
        {
            throw new UsageException($"{path}: not a module model in JSON: {problem.Message}");
        }
    }

    private static string IdOf(ModuleModel model) =>
        model.Name.StartsWith("moduleModels/", StringComparison.Ordinal)
            ? model.Name["moduleModels/".Length..]
            : throw new UsageException("The module model has no name \"moduleModels/...\"; give --id.");
}
