using System.Globalization;
using System.Text;
using Google.Protobuf;
using Reliability.V1;

namespace Reliability.EndToEnd.Hostile;

/// <summary>A file for upload whose rows are hostile ones with right ones among them.</summary>
/// <param name="MediaType">What it is.</param>
/// <param name="Mixed">All rows.</param>
/// <param name="RightOnly">The right ones alone.</param>
/// <param name="RightRows">How many they are.</param>
internal sealed record HostileFile(string MediaType, byte[] Mixed, byte[] RightOnly, int RightRows)
{
    private const string Header = "event_id,event,module,occur_time,reading_hours\n";

    private static readonly string[] Kinds = ["run_hours_read", "failed", "installed", "exploded", "", "retracted"];

    private static readonly string[] Times = ["2024-01-05", "2024-02-30T25:00:00Z", "2024-01-05T10:00:00+99:99", "99999-01-01", ""];

    /// <summary>A file, the right rows of which have ids that no other number's have.</summary>
    public static HostileFile Of(Random random, Func<string> anyText, int number)
    {
        var sheet = random.Next(2) == 0;
        var (mixed, right) = (new StringBuilder(sheet ? Header : ""), new StringBuilder(sheet ? Header : ""));
        var count = random.Next(1, 20);
        for (var i = 0; i < count; i++)
        {
            var row = Right(sheet, string.Create(CultureInfo.InvariantCulture, $"file-{number}-{i}"), random.Next(1_000));
            right.Append(row).Append('\n');
            for (var n = random.Next(3); n > 0; n--)
                mixed.Append(Hostile(sheet, random, anyText)).Append('\n');
            mixed.Append(row).Append('\n');
        }

        return new(
            sheet ? "text/csv" : "application/x-ndjson", Encoding.UTF8.GetBytes(mixed.ToString()), Encoding.UTF8.GetBytes(right.ToString()), count);
    }

    private static string Right(bool sheet, string id, int hours) => sheet
        ? string.Create(CultureInfo.InvariantCulture, $"{id},run_hours_read,h-{hours % 3},2024-01-{(hours % 28) + 1:00}T00:00:00Z,{hours}")
        : JsonFormatter.Default.Format(new ModuleEvent
        {
            EventId = id,
            Source = "quennick",
            Module = $"modules/h-{hours % 3}",
            OccurTime = new() { Seconds = 1_700_000_000 + hours },
            RunHoursRead = new() { Readings = { new MeterReading { Hours = hours } } },
        });

    // A line that breaks its row only: what lies on other lines is not its business.
    private static string Hostile(bool sheet, Random random, Func<string> anyText)
    {
        var text = OneLine(anyText());
        if (!sheet)
        {
            var line = JsonFormatter.Default.Format(new ModuleEvent { EventId = OneLine(anyText()), Source = text, Module = text });
            return random.Next(3) switch { 0 => line[..random.Next(line.Length)], 1 => text, _ => line };
        }

        string Cell(string[] some) => random.Next(2) == 0 ? some[random.Next(some.Length)] : OneLine(anyText());
        return random.Next(4) == 0
            ? text
            : $"{text},{Cell(Kinds)},\"modules/{text}\",{Cell(Times)},{random.Next(-5, 5)}";
    }

    private static string OneLine(string text) => text.ReplaceLineEndings(" ").Replace('\v', ' ');
}
