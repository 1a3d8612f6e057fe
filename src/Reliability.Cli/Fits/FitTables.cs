using Reliability.Cli.Answers;
using Reliability.Cli.Terminals;
using Reliability.Files;
using Reliability.V1;
using Spectre.Console;

namespace Reliability.Cli.Fits;

/// <summary>Fits for people.</summary>
internal static class FitTables
{
    /// <summary>Writes a fit with its warnings.</summary>
    public static void Write(Terminal terminal, string name, LifeFit fit)
    {
        terminal.Line($"{ModelName(fit)} fit: {name}. {Bounds(fit.ConfidenceLevel, fit.BoundsMethod)}");
        Table table = Tables.Of("", "Estimate", "Lower", "Upper", "Std. error", "Bounded on").Numbers(1, 2, 3, 4);
        foreach ((string quantity, Estimate? estimate) in Quantities(fit))
        {
            table.Row(quantity, EstimateText.Value(estimate), EstimateText.Lower(estimate), EstimateText.Upper(estimate),
                EstimateText.StandardError(estimate), EstimateText.Side(estimate));
        }
        terminal.Write(table);
        if (fit.FailureModes.Count > 0)
            WriteModes(terminal, fit);
        if (fit.Plan is { } plan)
            terminal.Line(Plan(plan));
        if (fit.Simulation is { } simulation)
            terminal.Line(Simulation(simulation));
        if (fit.MedianUnbiasedParameters.Count > 0)
        {
            terminal.Line("Corrected for small samples (too great as often as too small): "
                + string.Join(", ", fit.MedianUnbiasedParameters.Select(parameter => $"{parameter.Key} {NumberText.Of(parameter.Value)}")) + ".");
        }
        string likelihood = fit.HasLogLikelihood ? $"Log-likelihood {NumberText.Of(fit.LogLikelihood)}" : "";
        string aic = fit.GoodnessOfFit is { } fitness ? $"Akaike's criterion {NumberText.Of(fitness.Aic)}" : "";
        string[] evidence = [.. new[] { likelihood, aic }.Where(text => text.Length > 0)];
        if (evidence.Length > 0)
            terminal.Line(string.Join(". ", evidence) + ".");
        if (fit.FitTest is { } test)
            WriteTest(terminal, test);
        if (fit.Residuals.Count > 0)
            WriteResiduals(terminal, fit);
        terminal.Line();
        terminal.Warnings(fit.Warnings);
    }

    private static void WriteModes(Terminal terminal, LifeFit fit)
    {
        Table table = Tables.Of("Failure mode", "Failures", "Parameters", "B10 life, h", "Mean life, h", "Share failed in it").Numbers(1, 3, 4);
        foreach (FailureModeFit mode in fit.FailureModes)
        {
            table.Row(
                mode.FailureMode, NumberText.Of(mode.FailureCount),
                string.Join(", ", mode.ParameterOrder.Select(name => $"{name} {EstimateText.Value(mode.Parameters[name])}")),
                EstimateText.Value(mode.PercentileLives.FirstOrDefault(life => life.FailureFraction == 0.1)?.Hours),
                EstimateText.Value(mode.MeanLife),
                string.Join(", ", mode.Incidences.Select(at => $"{NumberText.Percent(at.FailureFraction)} by {NumberText.Of(at.Hours)} h")));
        }
        terminal.Write(table);
        terminal.Line($"Of single modes: {char.ToLowerInvariant(fit.FailureModes[0].Assumption[0])}{fit.FailureModes[0].Assumption[1..]} "
            + "Shares failed are with all modes at work.");
    }

    private static void WriteTest(Terminal terminal, FitTest test)
    {
        if (test.NotEstimable is { } reason)
        {
            terminal.Line($"The fit was not tested: {reason.Text}");
            return;
        }
        terminal.Line($"Test of the fit by {NumberText.Count(test.Replicates)} simulated samples: Anderson-Darling {NumberText.Of(test.AndersonDarling)}, "
            + $"p = {NumberText.PValue(test.AndersonDarlingPValue)}; Kolmogorov {NumberText.Of(test.Kolmogorov)}, p = {NumberText.PValue(test.KolmogorovPValue)}. "
            + test.CensoringPlan);
    }

    private static void WriteResiduals(Terminal terminal, LifeFit fit)
    {
        Table table = Tables.Of("Residual", "Until", "From", "Ended", "Lives", "Cumulative hazard").Numbers(0, 1, 2, 4, 5);
        foreach (Residual residual in fit.Residuals)
        {
            table.Row(
                NumberText.Of(residual.Value), NumberText.Of(residual.HasUpperValue ? residual.UpperValue : null), NumberText.Of(residual.EntryValue),
                residual.Survived ? "survived" : "failed", NumberText.Of(residual.Count),
                NumberText.Of(residual.HasCumulativeHazard ? residual.CumulativeHazard : null));
        }
        terminal.Write(table);
        terminal.Line("Residuals are -log of the fitted reliability; when the model is right their cumulative hazard is about the residual itself.");
    }

    /// <summary>All quantities of a fit in the order they are shown.</summary>
    public static IEnumerable<(string Quantity, Estimate? Estimate)> Quantities(LifeFit fit)
    {
        foreach (string parameter in fit.ParameterOrder)
        {
            bool known = fit.FixedParameters.TryGetValue(parameter, out double value);
            yield return known
                ? ($"{parameter} (taken as known)", new Estimate { Value = value })
                : (parameter, fit.Parameters.GetValueOrDefault(parameter));
        }
        yield return ("mean life, h", fit.MeanLife);
        foreach (PercentileLife percentile in fit.PercentileLives)
            yield return ($"{FractionName(percentile.FailureFraction)}, h", percentile.Hours);
        foreach (ReliabilityPoint point in fit.Reliability)
            yield return ($"chance to outlast {NumberText.Of(point.Hours)} h", point.Probability);
        foreach (RemainingLife remaining in fit.RemainingLives)
        {
            string after = $"after {NumberText.Of(remaining.AgeHours)} h";
            yield return ($"{after}: median of hours left", remaining.MedianHours);
            yield return ($"{after}: mean of hours left", remaining.MeanHours);
            foreach (ReliabilityPoint point in remaining.Survival)
                yield return ($"{after}: chance to outlast {NumberText.Of(point.Hours)} h more", point.Probability);
        }
    }

    /// <summary>A life model's name for people; its id where the service gave none.</summary>
    public static string ModelName(LifeFit fit) => (fit.DisplayName, fit.LifeModel) switch
    {
        ({ Length: > 0 } name, _) => name,
        (_, { Length: > 0 } id) => id,
        _ => "Life",
    };

    /// <summary>How bounds were made, in words.</summary>
    public static string Bounds(double confidenceLevel, BoundsMethod method) =>
        $"{NumberText.Percent(confidenceLevel)} bounds, {Method(method)}; one-sided at that level where only one side is bounded.";

    /// <summary>How bounds were made, in a few words.</summary>
    public static string Method(BoundsMethod method) => method switch
    {
        BoundsMethod.LikelihoodRatio => "by likelihood ratio",
        BoundsMethod.NormalApproximation => "by normal approximation",
        BoundsMethod.Bootstrap => "by bootstrap",
        _ => ContractWords.Of(method),
    };

    private static string Plan(ObservationPlan plan)
    {
        string ended = plan.Termination == Termination.Failure ? "at a set number of failures" : "at set times";
        string known = plan.Basis switch
        {
            ObservationPlan.Types.Basis.Stated => "as stated",
            ObservationPlan.Types.Basis.Detected => "as the lives show",
            _ => "as nothing else is known",
        };
        string ends = plan.PlannedEnds switch
        {
            ObservationPlan.Types.PlannedEnds.Stated => " Failed lives would have been stopped where stated.",
            ObservationPlan.Types.PlannedEnds.PartlyStated => " Failed lives would have been stopped where stated, else like those that were watched longer.",
            ObservationPlan.Types.PlannedEnds.Estimated => " Failed lives are taken to have been stopped later like those that were watched longer.",
            _ => "",
        };
        return $"Bounds take it that observation ended {ended}, {known}.{ends}";
    }

    private static string Simulation(SimulatedBounds simulation)
    {
        string without = simulation.WithoutEstimate == 0 ? "" : $", {NumberText.Count(simulation.WithoutEstimate)} of them without an estimate";
        return $"Bounds are {simulation.Method}, by {NumberText.Count(simulation.Replicates)} simulated samples{without}; seed {simulation.Seed}. {simulation.Plan}";
    }

    private static string FractionName(double fraction) => fraction switch
    {
        0.5 => "median life (50 % failed)",
        _ => $"B{NumberText.Of(fraction * 100)} life ({NumberText.Percent(fraction)} failed)",
    };
}
