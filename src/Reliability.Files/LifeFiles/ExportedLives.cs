using System.Globalization;
using CsvHelper;
using Google.Protobuf.WellKnownTypes;
using Reliability.V1;

namespace Reliability.Files.LifeFiles;

/// <summary>
/// Writes lives as comma-separated values (RFC 4180): a header, then a line a life, times in UTC by ISO 8601, outcomes in
/// words. Neither notes nor people are in it. The first columns are those of a sheet of plain lives, so that the file can be
/// asked about again.
/// </summary>
public sealed class ExportedLives : IDisposable
{
    /// <summary>The column that says why a life is left out of samples; empty when it is in.</summary>
    public const string ExclusionColumn = "exclusion_reason";

    /// <summary>The columns in order.</summary>
    public static readonly IReadOnlyList<string> Columns =
    [
        "outcome", "hours", "lower_hours", "upper_hours", "entry_hours", "failure_mode", ExclusionColumn, "flags",
        "module", "life_number", "module_model", "condition", "refurbishment_count", "refurbisher", "site", "host_model", "lot",
        "start_time", "end_time", "in_service", "removal_reason", "revision",
    ];

    // Texts are typed by people, and a spreadsheet would run one that begins like a formula.
    private static readonly CsvWriterOptions Options = new() { Injection = CsvInjection.Escape };

    private readonly MemoryStream _written = new();
    private readonly CsvWriter _writer;

    /// <summary>Begins a file with its header.</summary>
    public ExportedLives()
    {
        _writer = CsvWriter.Create(_written, Options, true);
        _writer.WriteRecord([.. Columns]);
    }

    /// <summary>Adds a life.</summary>
    public void Add(Life life)
    {
        ArgumentNullException.ThrowIfNull(life);
        LifeObservation? observation = life.Observation;
        HoursInterval? interval = observation?.FailureInterval;
        _writer.WriteField(observation?.OutcomeCase switch
        {
            LifeObservation.OutcomeOneofCase.FailureHours => ContractWords.Of(LifeOutcome.Failed),
            LifeObservation.OutcomeOneofCase.SurvivalHours => ContractWords.Of(LifeOutcome.Survived),
            LifeObservation.OutcomeOneofCase.FailureInterval => ContractWords.Of(LifeOutcome.Between),
            _ => "",
        });
        _writer.WriteField(observation switch
        {
            { HasFailureHours: true } => observation.FailureHours,
            { HasSurvivalHours: true } => observation.SurvivalHours,
            _ => (double?)null,
        });
        _writer.WriteField(interval?.LowerHours);
        _writer.WriteField(interval?.UpperHours);
        _writer.WriteField(observation?.EntryHours);
        _writer.WriteField(observation?.FailureMode);
        _writer.WriteField(life.ExclusionReason);
        _writer.WriteField(string.Join(';', life.Flags.Select(flag => flag.Code)));
        _writer.WriteField(Id(life.Module));
        _writer.WriteField(life.LifeNumber);
        _writer.WriteField(Id(life.ModuleModel));
        int refurbishments = life.Condition?.RefurbishmentCount ?? 0;
        _writer.WriteField(ContractWords.Of(refurbishments == 0 ? ConditionClass.New : ConditionClass.Refurbished));
        _writer.WriteField(refurbishments);
        _writer.WriteField(life.Condition?.Refurbisher);
        _writer.WriteField(life.Site);
        _writer.WriteField(life.HostModel);
        _writer.WriteField(life.Lot);
        _writer.WriteField(Time(life.StartTime));
        _writer.WriteField(Time(life.EndTime));
        _writer.WriteField(life.InService ? "yes" : "no");
        _writer.WriteField(ContractWords.Of(life.RemovalReason));
        _writer.WriteField(life.Revision);
        _writer.EndRecord();
    }

    /// <summary>What was written since it was last taken, in whole lines.</summary>
    public byte[] Take()
    {
        _writer.Flush();
        byte[] lines = _written.ToArray();
        _written.SetLength(0);
        return lines;
    }

    /// <inheritdoc />
    public void Dispose()
    {
        _writer.Dispose();
        _written.Dispose();
    }

    private static string Id(string name) => name[(name.IndexOf('/', StringComparison.Ordinal) + 1)..];

    // To the second where it is one, else with what it has.
    private static string Time(Timestamp? time) =>
        time?.ToDateTime().ToString("yyyy-MM-dd'T'HH:mm:ss.FFFFFFF'Z'", CultureInfo.InvariantCulture) ?? "";
}
