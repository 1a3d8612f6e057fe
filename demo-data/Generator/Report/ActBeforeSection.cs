using System.Globalization;
using Google.Protobuf.WellKnownTypes;
using Reliability.DemoData.Scenario;
using Reliability.V1;
using static Reliability.DemoData.Report.Quantity;

namespace Reliability.DemoData.Report;

/// <summary>Act-before dates of modules in service, with the cautions that go with them.</summary>
internal static class ActBeforeSection
{
    private const int Shown = 5;

    /// <summary>Writes, for each family, the modules that come first.</summary>
    public static void Write(TextWriter output, Network network, IReadOnlyList<PredictFailuresResponse> answers)
    {
        var first = answers.Select(answer => answer.Prediction).FirstOrDefault(prediction => prediction is not null);
        output.WriteLine($"Act-before dates as of {Day(Timestamp.FromDateTime(network.CutoffTime))} (UTC)");
        output.WriteLine();
        if (first is not null)
            output.WriteLine($"  Accepted chance of failure before the date: {Number(100 * first.RiskLimit, 0)} %.");
        foreach (var family in network.Families)
        {
            var predictions = answers.Select(answer => answer.Prediction)
                .Where(prediction => prediction?.ModuleModel == "moduleModels/" + family.ModelId)
                .OrderBy(prediction => prediction.ActBeforeTime ?? Timestamp.FromDateTime(DateTime.MaxValue.ToUniversalTime()))
                .ThenBy(prediction => prediction.Name, StringComparer.Ordinal)
                .ToList();
            WriteFamily(output, family, predictions);
        }
        foreach (var reason in answers.Where(answer => answer.NotPredicted is not null)
                     .GroupBy(answer => answer.NotPredicted.Text).OrderBy(group => group.Key, StringComparer.Ordinal))
            output.WriteLine($"  {reason.Count()} modules without a prediction: {reason.Key}");
    }

    private static void WriteFamily(TextWriter output, Family family, List<Prediction> predictions)
    {
        output.WriteLine();
        output.WriteLine($"  {family.DisplayName}: {predictions.Count} in service, the first {Math.Min(Shown, predictions.Count)}:");
        output.WriteLine();
        var table = new TextTable("serial number", "site", "condition", "age, h", "h a day", "rated hours", "risk limit", "act before", "because of", "rests on");
        foreach (var prediction in predictions.Take(Shown))
        {
            table.Row(
                prediction.Identifiers.FirstOrDefault(identifier => identifier.Kind == IdentifierKind.SerialNumber)?.Value ?? "-",
                prediction.Site,
                prediction.Condition is { RefurbishmentCount: > 0 } condition
                    ? string.Create(CultureInfo.InvariantCulture, $"refurbished {condition.RefurbishmentCount}x") : "new",
                Age(prediction.EstimatedAge),
                prediction.Usage?.HoursPerDay is { HasValue: true } rate ? Number(rate.Value, 1) : "-",
                Day(prediction.RatedHoursTime),
                Day(prediction.RiskLimitTime),
                Day(prediction.ActBeforeTime),
                prediction.ActBeforeReason switch
                {
                    ActBeforeReason.RatedHours => "rated hours",
                    ActBeforeReason.RiskLimit => "risk limit",
                    _ => "no date",
                },
                Words(prediction.WideningStep));
        }
        table.WriteTo(output);
        output.WriteLine();
        output.WriteLine("  Cautions:");
        foreach (var caution in predictions.SelectMany(prediction => prediction.Cautions).DistinctBy(caution => caution.Code))
            output.WriteLine($"  - {caution.Text}");
    }

    private static string Age(HoursRange? age) => age switch
    {
        null => "-",
        { HasUpperHours: true } when age.UpperHours <= age.LowerHours => Number(age.LowerHours, 0),
        { HasUpperHours: true } => $"{Number(age.LowerHours, 0)} to {Number(age.UpperHours, 0)}",
        _ => $"over {Number(age.LowerHours, 0)}",
    };

    private static string Day(Timestamp? time) =>
        time is null ? "-" : time.ToDateTime().ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    private static string Words(WideningStep step) => step switch
    {
        WideningStep.SameCondition => "same condition",
        WideningStep.AllRefurbishers => "all refurbishers",
        WideningStep.BothConditions => "both conditions",
        WideningStep.BorrowedShape => "borrowed shape",
        WideningStep.RatedHoursOnly => "rated hours only",
        _ => "-",
    };
}
