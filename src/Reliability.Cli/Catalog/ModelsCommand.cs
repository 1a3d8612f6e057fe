using System.CommandLine;
using Reliability.Cli.Connections;
using Reliability.Files;
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
                new GetModuleModelRequest { Name = ModuleModelName.Of(parse.GetRequiredValue(id)) }, cancellationToken: cancellation).ConfigureAwait(false);
            return context.Answer(parse, model, answer => ModelTables.Write(context.Terminal, answer));
        });
    }

    private Command CreateModel()
    {
        Argument<string> file = new("FILE") { Description = "JSON: a ModuleModel, or a CreateModuleModelRequest, or a list of them." };
        Option<string?> id = new("--id") { Description = "The id, where the file does not say it." };
        Option<bool> validateOnly = new("--validate-only") { Description = "Check everything, change nothing." };
        Command command = new("create", "Add module models from a JSON file.") { file, id, validateOnly };
        return context.Asking(command, async (connection, parse, cancellation) =>
        {
            ListModuleModelsResponse created = new();
            foreach (CreateModuleModelRequest request in ModelFile.Read(parse.GetRequiredValue(file), parse.GetValue(id)))
            {
                request.ValidateOnly = parse.GetValue(validateOnly);
                created.ModuleModels.Add(await connection.Catalog.CreateModuleModelAsync(request, cancellationToken: cancellation).ConfigureAwait(false));
            }
            return created.ModuleModels.Count == 1
                ? context.Answer(parse, created.ModuleModels[0], answer => ModelTables.Write(context.Terminal, answer))
                : context.Answer(parse, created, answer => ModelTables.WriteList(context.Terminal, answer.ModuleModels));
        });
    }
}
