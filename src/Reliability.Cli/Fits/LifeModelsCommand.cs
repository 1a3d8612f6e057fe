using System.CommandLine;
using Reliability.Cli.Answers;
using Reliability.V1;
using Spectre.Console;

namespace Reliability.Cli.Fits;

/// <summary>Lists the life models on offer.</summary>
internal sealed class LifeModelsCommand(CommandContext context)
{
    /// <summary>The command.</summary>
    public Command Create() => context.Asking(
        new Command("life-models", "List the life models on offer."),
        async (connection, parse, cancellation) =>
        {
            ListLifeModelsResponse models = await connection.Analysis.ListLifeModelsAsync(
                new ListLifeModelsRequest(), cancellationToken: cancellation).ConfigureAwait(false);
            return context.Answer(parse, models, answer =>
            {
                Table table = Tables.Of("Life model", "Name", "Parameters", "Can be fixed", "Default");
                foreach (LifeModel model in answer.LifeModels)
                {
                    table.Row(
                        model.LifeModel_, model.DisplayName,
                        string.Join(", ", model.Parameters.Select(parameter => parameter.Unit.Length > 0 ? $"{parameter.Name} ({parameter.Unit})" : parameter.Name)),
                        string.Join(", ", model.Parameters.Where(parameter => parameter.CanBeFixed).Select(parameter => parameter.Name)),
                        model.IsDefault ? "yes" : "");
                }
                context.Terminal.Write(table);
            });
        });
}
