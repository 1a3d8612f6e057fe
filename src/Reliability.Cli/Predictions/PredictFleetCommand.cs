using System.CommandLine;
using Grpc.Core;
using Reliability.Cli.Answers;
using Reliability.Cli.Terminals;
using Reliability.V1;

namespace Reliability.Cli.Predictions;

/// <summary>Predicts the same over a fleet.</summary>
internal sealed class PredictFleetCommand(CommandContext context)
{
    /// <summary>The command.</summary>
    public Command Create()
    {
        Option<string?> filter = new("--filter")
        {
            Description = "Which modules, such as: site = \"Quennick General\"; all in service when absent.",
        };
        PredictionOptions options = new();
        Command command = new("predict-fleet", "Predict act-before dates over a fleet, the earliest first.") { filter };
        options.AddTo(command);
        return context.Asking(command, async (connection, parse, cancellation) =>
        {
            using AsyncServerStreamingCall<PredictFailuresResponse> call = connection.Forecast.PredictFailures(
                options.ReadFleet(parse, parse.GetValue(filter) ?? ""), cancellationToken: cancellation);
            bool asJson = parse.GetValue(context.Json);
            List<PredictFailuresResponse> answers = [];
            await foreach (PredictFailuresResponse answer in call.ResponseStream.ReadAllAsync(cancellation).ConfigureAwait(false))
            {
                // A JSON object a line, as the HTTP side streams them.
                if (asJson)
                    context.Terminal.Raw.WriteLine(JsonAnswer.Line(answer));
                else
                    answers.Add(answer);
            }
            if (!asJson)
                FleetTable.Write(context.Terminal, answers);
            return ExitCode.Success;
        });
    }
}
