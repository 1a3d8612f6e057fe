using System.Globalization;
using System.Text;
using Google.Protobuf.WellKnownTypes;
using Reliability.V1;

namespace Reliability.DemoData.Records;

/// <summary>Writes a plain sheet of lives in the columns that docs/files.md describes.</summary>
internal static class LifeSheetCsv
{
    private static readonly (string Name, Func<LifeReported, string> Value)[] Columns =
    [
        ("module_model", row => row.ModuleModel["moduleModels/".Length..]),
        ("serial_number", row => row.Identifiers[0].Value),
        ("refurbishment_count", row => Text(row.Condition.RefurbishmentCount)),
        ("refurbisher", row => row.Condition.Refurbisher),
        ("site", row => row.Site),
        ("host_model", row => row.HostModel),
        ("lot", row => row.Lot),
        ("start_date", row => Day(row.StartTime)),
        ("end_date", row => Day(row.EndTime)),
        ("in_service", row => row.InService ? "yes" : "no"),
        ("age_at_observation", row => Text(row.AgeAtObservation)),
        ("age_at_end", row => Text(row.AgeAtEnd)),
        ("age_last_working", row => row.HasAgeLastWorking ? Text(row.AgeLastWorking) : ""),
        ("outcome", row => row.Outcome == LifeOutcome.Failed ? "failed" : "survived"),
        ("failure_moment", row => row.FailureMoment ? "yes" : ""),
        ("failure_mode", row => row.FailureMode),
        ("removal_reason", row => Word(row.RemovalReason)),
        ("complete_from", row => Day(row.CompleteFrom)),
    ];

    /// <summary>The sheet as text, with a first line that says what it is.</summary>
    public static string Write(IEnumerable<ModuleEvent> rows, string heading)
    {
        var text = new StringBuilder("# ").Append(heading).Append('\n');
        text.Append("source,").AppendJoin(',', Columns.Select(column => column.Name)).Append('\n');
        foreach (var row in rows)
        {
            text.Append(row.Source).Append(',')
                .AppendJoin(',', Columns.Select(column => Quoted(column.Value(row.LifeReported)))).Append('\n');
        }
        return text.ToString();
    }

    // RFC 4180, section 2. The sheet holds no line breaks.
    private static string Quoted(string value) =>
        value.AsSpan().ContainsAny(',', '"') ? $"\"{value.Replace("\"", "\"\"", StringComparison.Ordinal)}\"" : value;

    private static string Text(double number) => number.ToString(CultureInfo.InvariantCulture);

    private static string Day(Timestamp time) => time.ToDateTime().ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    private static string Word(RemovalReason reason) => reason switch
    {
        RemovalReason.Unspecified => "",
        RemovalReason.LowOutput => "low output",
        RemovalReason.RatedHoursReached => "rated hours reached",
        RemovalReason.Planned => "planned",
        RemovalReason.Upgrade => "upgrade",
        RemovalReason.Failed => "failed",
        _ => throw new ArgumentOutOfRangeException(nameof(reason), reason, "The network gives no such reason."),
    };
}
