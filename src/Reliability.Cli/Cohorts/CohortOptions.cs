using System.CommandLine;
using Reliability.Cli.Connections;
using Reliability.Cli.Terminals;
using Reliability.Files;
using Reliability.Files.Times;
using Reliability.V1;
using Timestamp = Google.Protobuf.WellKnownTypes.Timestamp;

namespace Reliability.Cli.Cohorts;

/// <summary>The options that select lives on record.</summary>
internal sealed class CohortOptions
{
    private readonly Option<string[]> _models = Many("--model", "Module models, by id.");
    private readonly Option<string?> _condition = new("--condition") { Description = "Lives begun new, or refurbished; both by default." };
    private readonly Option<int[]> _refurbishments = new("--refurbishment") { Description = "Refurbishment numbers: 1 for refurbished once." };
    private readonly Option<string[]> _refurbishers = Many("--refurbisher", "Refurbishers.");
    private readonly Option<string[]> _sites = Many("--site", "Sites of the first install.");
    private readonly Option<string[]> _hostModels = Many("--host-model", "Host device models of the first install.");
    private readonly Option<string[]> _lots = Many("--lot", "Makers' lots.");
    private readonly Option<string?> _since = new("--since") { Description = "Lives that began on this day (or at this time) or later." };
    private readonly Option<string?> _until = new("--until") { Description = "Lives that began before this day (or time)." };
    private readonly Option<string?> _cutoff = new("--cutoff") { Description = "Use nothing that happened after this day (or time)." };
    private readonly RecordTimeOption _recordTime = new();
    private readonly Option<string?> _zone = new("--zone") { Description = "The IANA time zone of these days; UTC by default." };
    private readonly Option<string?> _failureMode = new("--failure-mode") { Description = "Count failures by this mode only; others survived so far." };
    private readonly Option<bool> _includeFlagged = new("--include-flagged") { Description = "Take in lives whose outcome rests on a reading that was left out." };

    /// <summary>Prepares the options.</summary>
    public CohortOptions() => _condition.AcceptOnlyFromAmong("new", "refurbished");

    /// <summary>Adds the options to a command.</summary>
    public void AddTo(Command command)
    {
        foreach (Option option in All())
            command.Add(option);
    }

    /// <summary>The options that were given, by name.</summary>
    public IEnumerable<string> Given(ParseResult parse) =>
        All().Where(option => parse.GetResult(option) is { Implicit: false }).Select(option => option.Name);

    /// <summary>The cohort that was asked for.</summary>
    /// <exception cref="UsageException">A day or zone is malformed.</exception>
    public Cohort Read(ParseResult parse)
    {
        string zoneName = parse.GetValue(_zone) ?? "";
        if (!ZoneName.TryFind(zoneName, out ZoneName zone))
            throw new UsageException($"--zone: \"{zoneName}\" is not an IANA time zone such as Europe/London.");
        Cohort cohort = new()
        {
            ConditionClass = CohortFilters.ConditionOf(parse.GetValue(_condition)),
            FailureMode = parse.GetValue(_failureMode) ?? "",
            IncludeFlagged = parse.GetValue(_includeFlagged),
            EarliestStartTime = Edge(parse, _since, zone.TryReadFrom),
            LatestStartTime = Edge(parse, _until, zone.TryReadFrom),
            DataCutoffTime = Edge(parse, _cutoff, zone.TryReadUntil),
            AsOfRecordTime = _recordTime.Read(parse, zone),
        };
        cohort.ModuleModels.Add((parse.GetValue(_models) ?? []).Select(ModuleModelName.Of));
        cohort.RefurbishmentCounts.Add(parse.GetValue(_refurbishments) ?? []);
        cohort.Refurbishers.Add(parse.GetValue(_refurbishers) ?? []);
        cohort.Sites.Add(parse.GetValue(_sites) ?? []);
        cohort.HostModels.Add(parse.GetValue(_hostModels) ?? []);
        cohort.Lots.Add(parse.GetValue(_lots) ?? []);
        return cohort;
    }

    private delegate bool EdgeReader(string text, out Timestamp time, out string problem);

    private static Timestamp? Edge(ParseResult parse, Option<string?> option, EdgeReader read)
    {
        if (parse.GetValue(option) is not string text)
            return null;
        return read(text, out Timestamp time, out string problem) ? time : throw new UsageException($"{option.Name}: {problem}.");
    }

    private static Option<string[]> Many(string name, string description) => new(name) { Description = description + " Can be given several times." };

    private IEnumerable<Option> All() =>
        [_models, _condition, _refurbishments, _refurbishers, _sites, _hostModels, _lots, _since, _until, _cutoff, _recordTime, _zone, _failureMode, _includeFlagged];
}
