using System.Globalization;
using System.Text;
using Reliability.V1;

namespace Reliability.DemoData.Records;

/// <summary>
/// Events as an invented maintenance system would export them as work orders: its own columns and codes, decimal commas,
/// days first, a registration and a first install in one row, rows that are of no interest here. The mapping beside it
/// turns them back into the same events.
/// </summary>
internal static class WorkOrderExport
{
    /// <summary>The sign of degrees is one of ISO 8859-1, in which the export is stored.</summary>
    private const string Header =
        "Order;Type;Raised;Unit;Part;Serial;Batch;Bench visits;Bench;Hours before;Bay;Slot;Ward;Equipment;Usage;Hours;Output;Finding;Seen;Reason;Disposal;Next meter;Room °C";

    // A row of no interest after so many others.
    private const int RemarkEvery = 40;

    /// <summary>The export as text.</summary>
    public static string Write(IReadOnlyList<ModuleEvent> events, string heading)
    {
        var text = new StringBuilder("# ").Append(heading).Append('\n').Append(Header).Append('\n');
        for (var i = 0; i < events.Count; i++)
        {
            var first = events[i];
            var fitted = first.Registered is not null && i + 1 < events.Count && IsFirstInstall(first, events[i + 1]) ? events[++i] : null;
            AppendRow(text, first, fitted);
            if (i % RemarkEvery == RemarkEvery - 1)
            {
                string[] remark = [$"T{i:00000}", "TST", Time(first), .. Enumerable.Repeat("", 19), "21,5"];
                text.AppendJoin(';', remark).Append('\n');
            }
        }

        return text.ToString();
    }

    private static bool IsFirstInstall(ModuleEvent registered, ModuleEvent next) =>
        next.Installed is not null && next.Module == registered.Module && next.OccurTime.Equals(registered.OccurTime);

    private static void AppendRow(StringBuilder text, ModuleEvent said, ModuleEvent? fitted)
    {
        var (registered, installed) = (said.Registered, said.Installed ?? fitted?.Installed);
        string[] cells =
        [
            "W" + said.EventId[^5..],
            Type(said, fitted),
            Time(said),
            said.Module["modules/".Length..],
            registered is null ? "" : Part(registered.ModuleModel),
            registered is null ? "" : registered.Identifiers[0].Value,
            registered?.Lot ?? "",
            registered is null ? "" : registered.Condition.RefurbishmentCount.ToString(CultureInfo.InvariantCulture),
            Bench(registered?.Condition.Refurbisher ?? said.Refurbished?.Refurbisher ?? ""),
            registered is null ? "" : Number(registered.AgeHours),
            installed?.HostDevice ?? "",
            installed?.Position ?? "",
            installed is null ? "" : "OR-NEO",
            installed?.HostModel ?? "",
            installed is { HasExpectedHoursPerDay: true } ? Number(installed.ExpectedHoursPerDay) : "",
            Hours(said, installed),
            said.OutputMeasured is { } output ? Number(output.MeasuredValue) : "",
            said.Failed?.FailureMode ?? "",
            said.Failed is null ? "" : said.Failed.Moment == FailureMoment.Failure ? "A" : "B",
            said.Removed is null ? "" : Reason(said.Removed.Reason),
            said.Retired?.Reason ?? "",
            said.MeterChanged is { HasFirstHours: true } changed ? Number(changed.FirstHours) : "",
            "",
        ];
        text.AppendJoin(';', cells).Append('\n');
    }

    private static string Type(ModuleEvent said, ModuleEvent? fitted) => said.EventCase switch
    {
        ModuleEvent.EventOneofCase.Registered => fitted is null ? "REG" : "COM",
        ModuleEvent.EventOneofCase.Installed => "FIT",
        ModuleEvent.EventOneofCase.MeterChanged => "MTR",
        ModuleEvent.EventOneofCase.OutputMeasured => "OPT",
        ModuleEvent.EventOneofCase.Failed => "FLT",
        ModuleEvent.EventOneofCase.Removed => "OUT",
        ModuleEvent.EventOneofCase.Refurbished => "WKS",
        ModuleEvent.EventOneofCase.Retired => "SCR",
        _ => throw new ArgumentOutOfRangeException(nameof(said), said.EventCase, "The export has no such work order."),
    };

    private static string Hours(ModuleEvent said, Installed? installed) =>
        said.OutputMeasured is { HasReadingHours: true } output ? Number(output.ReadingHours)
        : said.Failed is { HasReadingHours: true } failed ? Number(failed.ReadingHours)
        : said.MeterChanged is { HasFinalHours: true } changed ? Number(changed.FinalHours)
        : said.Removed is { HasReadingHours: true } removed ? Number(removed.ReadingHours)
        : installed is { HasReadingHours: true } ? Number(installed.ReadingHours)
        : "";

    private static string Part(string model) => model == "moduleModels/phototherapy-lamp" ? "PL20" : model;

    private static string Bench(string refurbisher) => refurbisher switch
    {
        "" => "",
        "Second Turn Bench" => "STB",
        "Vennick Works" => "VW",
        _ => throw new ArgumentOutOfRangeException(nameof(refurbisher), refurbisher, "The export has no code for it."),
    };

    private static string Reason(RemovalReason reason) => reason switch
    {
        RemovalReason.Failed => "10",
        RemovalReason.LowOutput => "11",
        RemovalReason.RatedHoursReached => "20",
        RemovalReason.Planned => "21",
        RemovalReason.Upgrade => "30",
        _ => throw new ArgumentOutOfRangeException(nameof(reason), reason, "The export has no code for it."),
    };

    private static string Time(ModuleEvent said) =>
        said.OccurTime.ToDateTime().ToString("dd/MM/yyyy HH:mm", CultureInfo.InvariantCulture);

    // Thousands are set apart by a point here, decimals by a comma.
    private static string Number(double hours) =>
        hours.ToString("#,##0.##########", CultureInfo.InvariantCulture).Replace(',', '\'').Replace('.', ',').Replace('\'', '.');
}
