using System.CommandLine;
using Reliability.Cli.Modules;
using Reliability.V1;

namespace Reliability.Cli.Predictions;

/// <summary>Predicts remaining life and dates of a module.</summary>
internal sealed class PredictCommand(CommandContext context)
{
    /// <summary>The command.</summary>
    public Command Create()
    {
        Argument<string> id = new("ID") { Description = "The module's id, or serial:..., udi:... or asset:..." };
        PredictionOptions options = new();
        Command command = new("predict", "Predict remaining life and dates of a module: the act-before date first.") { id };
        options.AddTo(command);
        return context.Asking(command, async (connection, parse, cancellation) =>
        {
            string name = await ModuleNames.ResolveAsync(
                connection.History, parse.GetRequiredValue(id), options.Revision(parse), cancellation).ConfigureAwait(false);
            Prediction prediction = await connection.Forecast.PredictFailureAsync(options.Read(parse, name), cancellationToken: cancellation).ConfigureAwait(false);
            return context.Answer(parse, prediction, answer => PredictionTables.Write(context.Terminal, answer));
        });
    }
}
