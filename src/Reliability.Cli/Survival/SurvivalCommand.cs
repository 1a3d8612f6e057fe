using System.CommandLine;
using Reliability.Cli.Connections;
using Reliability.Cli.Fits;
using Reliability.Cli.Samples;
using Reliability.Plots.Survival;
using Reliability.V1;

namespace Reliability.Cli.Survival;

/// <summary>Estimates survival without a model.</summary>
internal sealed class SurvivalCommand(CommandContext context)
{
    private readonly LivesOptions _lives = new();
    private readonly RevisionOption _revision = new();
    private readonly PlotOption _plot = new();
    private readonly Option<double?> _confidence = new("--confidence") { Description = "The confidence level of bounds, two-sided; 0.95 when absent." };

    private readonly Option<double?> _ageLimit = new("--age-limit")
    {
        Description = "Run-hours to which the restricted mean counts; rated hours where lives reach them, else the oldest age, when absent.",
    };

    /// <summary>The command.</summary>
    public Command Create()
    {
        Command command = new("survival", "Estimate survival without a model: Kaplan-Meier, or Turnbull with failures between two ages; by failure mode.")
        {
            _confidence, _ageLimit, _revision, _plot,
        };
        _lives.AddTo(command);
        return context.Asking(command, async (connection, parse, cancellation) =>
        {
            string? plot = _plot.Read(parse);
            LivesChoice lives = await _lives.ReadAsync(parse, context.Rows, cancellation).ConfigureAwait(false);
            EstimateSurvivalRequest request = new() { MinimumRevision = _revision.Read(parse) };
            if (lives.Cohort is not null)
                request.Cohort = lives.Cohort;
            else
                request.Sample = lives.Sample;
            if (parse.GetValue(_confidence) is double confidence)
                request.ConfidenceLevel = confidence;
            if (parse.GetValue(_ageLimit) is double limit)
                request.AgeLimitHours = limit;
            EstimateSurvivalResponse response = await connection.Analysis.EstimateSurvivalAsync(request, cancellationToken: cancellation).ConfigureAwait(false);
            if (plot is not null)
                SurvivalPlot.Save(SurvivalAnswerText.Sheet(lives.Name, response), plot);
            return context.Answer(parse, response, answer =>
            {
                SurvivalAnswerText.Write(context.Terminal, lives.Name, answer);
                if (plot is not null)
                    context.Terminal.Line($"Drawn into {plot}");
            });
        });
    }
}
