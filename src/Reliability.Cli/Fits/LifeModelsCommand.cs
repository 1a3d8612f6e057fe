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
                Table table = Tables.Of("Life model", "Name", "Parameters", "Can be fixed", "Default", "From");
                foreach (LifeModel model in answer.LifeModels)
                {
                    table.Row(
                        model.LifeModel_, model.DisplayName,
                        string.Join(", ", model.Parameters.Select(parameter => parameter.Unit.Length > 0 ? $"{parameter.Name} ({parameter.Unit})" : parameter.Name)),
                        string.Join(", ", model.Parameters.Where(parameter => parameter.CanBeFixed).Select(parameter => parameter.Name)),
                        model.IsDefault ? "yes" : "",
                        model.PlugIn is { Hash.Length: > 0 } plugIn ? $"{plugIn.PlugIn} {plugIn.Version}, {plugIn.Publisher}" : model.PlugIn?.PlugIn ?? "");
                }
                context.Terminal.Write(table);
                foreach (LifeModelPlugIn plugIn in answer.LifeModels.Select(model => model.PlugIn).OfType<LifeModelPlugIn>().Where(plugIn => plugIn.Hash.Length > 0).Distinct())
                    context.Terminal.Line($"{plugIn.PlugIn} {plugIn.Version}: {plugIn.Hash}");
                foreach (RefusedPlugIn refused in answer.RefusedPlugIns)
                    context.Terminal.Line($"Plug-in {refused.Place} is not used. {refused.Reason}");
            });
        });
}
