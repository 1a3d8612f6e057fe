using Reliability.Cli.Answers;
using Reliability.Cli.Catalog;
using Reliability.Cli.Fits;
using Reliability.Cli.Modules;
using Reliability.Cli.Terminals;
using Reliability.V1;
using Spectre.Console;

namespace Reliability.Cli.Predictions;

/// <summary>A module's prediction for people: the date to act before comes first.</summary>
internal static class PredictionTables
{
    /// <summary>Writes a prediction with the cautions that go with it.</summary>
    public static void Write(Terminal terminal, Prediction prediction)
    {
        terminal.Line(
            prediction.RatedHoursReached ? $"{ModelTables.Id(prediction.Name)}: act now. Its rated hours are reached."
            : prediction.ActBeforeTime is null ? $"{ModelTables.Id(prediction.Name)}: there is no date to act before."
            : $"{ModelTables.Id(prediction.Name)}: act before {NumberText.Day(prediction.ActBeforeTime)} ({Because(prediction.ActBeforeReason)}).");
        terminal.Write(Facts(prediction));
        WriteDates(terminal, prediction);
        terminal.Warnings(prediction.Warnings);
        SampleSummaryText.Write(terminal, prediction.SampleSummary, "Lives it rests on");
        terminal.Cautions(prediction.Cautions);
    }

    /// <summary>Why the act-before date is what it is.</summary>
    public static string Because(ActBeforeReason reason) => reason switch
    {
        ActBeforeReason.RatedHours => "rated hours",
        ActBeforeReason.RiskLimit => "chance of failure",
        _ => NumberText.Absent,
    };

    /// <summary>When rated hours are reached.</summary>
    public static string RatedOn(Prediction prediction) =>
        prediction.RatedHoursReached ? "reached" : NumberText.Day(prediction.RatedHoursTime);

    private static Table Facts(Prediction prediction)
    {
        Table facts = Tables.Of("", "");
        facts.HideHeaders();
        facts.Row("Module model", $"{ModelTables.Id(prediction.ModuleModel)}, {ModuleTables.Condition(prediction.Condition)}");
        if (prediction.Identifiers.Count > 0)
            facts.Row("Identifiers", ModuleTables.Identifiers(prediction.Identifiers));
        if (prediction.Site.Length > 0)
            facts.Row("Site", prediction.Site);
        facts.Row("Predicted from", NumberText.Minute(prediction.AsOfTime));
        facts.Row("Rated hours", prediction.HasRatedHours
            ? $"{NumberText.Of(prediction.RatedHours)} h, {(prediction.RatedHoursReached ? "reached" : $"on {NumberText.Day(prediction.RatedHoursTime)}")}"
            : NumberText.Absent);
        facts.Row($"Chance of failure reaches {NumberText.Percent(prediction.RiskLimit)}", NumberText.Day(prediction.RiskLimitTime));
        facts.Row("Age at the last reading", $"{NumberText.Range(prediction.AgeAtLastReading)} h, {NumberText.Day(prediction.LastReadingTime)}");
        facts.Row("Age now, estimated", $"{NumberText.Range(prediction.EstimatedAge)} h");
        if (prediction.Usage is { } usage)
            facts.Row("Hours of use a day", $"{EstimateText.Whole(usage.HoursPerDay)}, {Basis(usage)}");
        // Beyond rated hours, hours left would read as a permission.
        if (!prediction.RatedHoursReached || prediction.FailureDates.All(date => !date.Withheld))
        {
            facts.Row("Hours left, median", EstimateText.Whole(prediction.MedianRemainingHours));
            facts.Row("Hours left, mean of the fitted life", EstimateText.Whole(prediction.MeanRemainingHours));
        }
        if (prediction.BeforeTime is not null)
            facts.Row($"Chance of failure before {NumberText.Day(prediction.BeforeTime)}", EstimateText.Whole(prediction.FailureProbability));
        if (prediction.LifeModel.Length > 0)
        {
            facts.Row("Life model", $"{prediction.LifeModel}: "
                + string.Join(", ", prediction.Parameters.OrderBy(parameter => parameter.Key, StringComparer.Ordinal).Select(parameter => $"{parameter.Key} {EstimateText.Whole(parameter.Value)}")));
            facts.Row("Bounds", $"{NumberText.Percent(prediction.ConfidenceLevel)}, {FitTables.Method(prediction.BoundsMethod)}");
        }
        facts.Row("Rests on", prediction.WideningText);
        return facts;
    }

    private static void WriteDates(Terminal terminal, Prediction prediction)
    {
        Table dates = Tables.Of("Failed by then", "Hours from now", "Date", "Earliest", "Latest", "").Numbers(1);
        foreach (FailureDate date in prediction.FailureDates)
        {
            dates.Row(
                NumberText.Percent(date.FailureFraction), EstimateText.Whole(date.RemainingHours), NumberText.Day(date.FailureTime),
                NumberText.Day(date.LowerTime), NumberText.Day(date.UpperTime), Label(date));
        }
        terminal.Write(dates);
        if (prediction.FailureDates.Any(date => date.LowerTime is not null || date.UpperTime is not null))
        {
            terminal.Line("Earliest is the lower bound of the hours at the upper bound of the hours a day, Latest the upper at the lower.");
            terminal.Line();
        }
    }

    private static string Label(FailureDate date) => (date.Withheld, date.BeyondRatedHours) switch
    {
        (true, _) => "withheld: beyond rated hours",
        (_, true) => "beyond rated hours",
        _ => "",
    };

    private static string Basis(Usage usage) => usage.Basis switch
    {
        UsageBasis.Measured => $"measured from {usage.ReadingCount} readings, {NumberText.Day(usage.Window?.StartTime)} to {NumberText.Day(usage.Window?.EndTime)}",
        UsageBasis.Expected => "as expected at install",
        UsageBasis.Cohort => "median of like modules",
        UsageBasis.Assumed => "as assumed in the question",
        _ => "origin not known",
    };
}
