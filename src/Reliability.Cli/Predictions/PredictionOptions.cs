using System.CommandLine;
using Google.Protobuf.WellKnownTypes;
using Reliability.Cli.Connections;
using Reliability.Cli.Terminals;
using Reliability.Files;
using Reliability.Files.Times;
using Reliability.V1;
using OptionBase = System.CommandLine.Option;

namespace Reliability.Cli.Predictions;

/// <summary>The options of predictions, of one module or of a fleet.</summary>
internal sealed class PredictionOptions
{
    private readonly Option<double?> _riskLimit = new("--risk-limit") { Description = "The accepted chance of failure before the act-before date; 0.05 when absent." };
    private readonly Option<string?> _asOf = new("--as-of") { Description = "Predict from this day (its end) or time; now when absent. Nothing later is used." };
    private readonly Option<string?> _before = new("--before") { Description = "The chance of failure before this day or time is wanted." };
    private readonly Option<string?> _zone = new("--zone") { Description = "The IANA time zone of these days; UTC when absent." };
    private readonly Option<string?> _lifeModel = new("--life-model") { Description = "The life model, from life-models; the service's default when absent." };
    private readonly Option<double?> _confidence = new("--confidence") { Description = "The confidence level of bounds, two-sided; 0.95 when absent." };
    private readonly Option<string?> _bounds = new("--bounds") { Description = "How bounds are made; calibrated when absent, where the life model has them." };
    private readonly Option<double?> _hoursPerDay = new("--hours-per-day") { Description = "Assume so many hours of use a day instead of those measured." };
    private readonly Option<bool> _beyond = new("--beyond-rated-hours") { Description = "Show dates beyond the rated hours too, labelled. No permission to exceed them." };
    private readonly Option<bool> _includeFlagged = new("--include-flagged") { Description = "Take in lives whose outcome rests on a reading that was left out." };
    private readonly RecordTimeOption _recordTime = new();
    private readonly RevisionOption _revision = new();

    /// <summary>Prepares the options.</summary>
    public PredictionOptions() => _bounds.AcceptOnlyFromAmong([.. ContractWords.Of<BoundsMethod>().Select(word => word.Replace(' ', '-'))]);

    /// <summary>Adds the options to a command.</summary>
    public void AddTo(Command command)
    {
        foreach (OptionBase option in (OptionBase[])
            [_riskLimit, _asOf, _before, _zone, _lifeModel, _confidence, _bounds, _hoursPerDay, _beyond, _includeFlagged, _recordTime, _revision])
        {
            command.Add(option);
        }
    }

    /// <summary>The revision to wait for; empty for none.</summary>
    public string Revision(ParseResult parse) => _revision.Read(parse);

    /// <summary>The request for a module.</summary>
    /// <exception cref="UsageException">A day or zone is malformed.</exception>
    public PredictFailureRequest Read(ParseResult parse, string name)
    {
        string zoneName = parse.GetValue(_zone) ?? "";
        if (!ZoneName.TryFind(zoneName, out ZoneName zone))
            throw new UsageException($"--zone: \"{zoneName}\" is not an IANA time zone such as Europe/London.");
        PredictFailureRequest request = new()
        {
            Name = name,
            LifeModel = parse.GetValue(_lifeModel) ?? "",
            BoundsMethod = ContractWords.TryParse(parse.GetValue(_bounds) ?? "", out BoundsMethod method) ? method : BoundsMethod.Unspecified,
            IncludeDatesBeyondRatedHours = parse.GetValue(_beyond),
            IncludeFlagged = parse.GetValue(_includeFlagged),
            MinimumRevision = _revision.Read(parse),
            AsOfRecordTime = _recordTime.Read(parse, zone),
        };
        if (parse.GetValue(_asOf) is string asOf)
            request.AsOfTime = zone.TryReadUntil(asOf, out Timestamp time, out string problem) ? time : throw new UsageException($"--as-of: {problem}.");
        if (parse.GetValue(_before) is string before)
            request.BeforeTime = zone.TryReadFrom(before, out Timestamp time, out string problem) ? time : throw new UsageException($"--before: {problem}.");
        if (parse.GetValue(_riskLimit) is double risk)
            request.RiskLimit = risk;
        if (parse.GetValue(_confidence) is double confidence)
            request.ConfidenceLevel = confidence;
        if (parse.GetValue(_hoursPerDay) is double hours)
            request.AssumedHoursPerDay = hours;
        return request;
    }

    /// <summary>The request for a fleet: the same but for the name.</summary>
    /// <exception cref="UsageException">A day or zone is malformed.</exception>
    public PredictFailuresRequest ReadFleet(ParseResult parse, string filter)
    {
        PredictFailureRequest one = Read(parse, "");
        PredictFailuresRequest fleet = new()
        {
            Filter = filter,
            AsOfTime = one.AsOfTime,
            BeforeTime = one.BeforeTime,
            LifeModel = one.LifeModel,
            BoundsMethod = one.BoundsMethod,
            IncludeDatesBeyondRatedHours = one.IncludeDatesBeyondRatedHours,
            IncludeFlagged = one.IncludeFlagged,
            MinimumRevision = one.MinimumRevision,
            AsOfRecordTime = one.AsOfRecordTime,
        };
        if (one.HasRiskLimit)
            fleet.RiskLimit = one.RiskLimit;
        if (one.HasConfidenceLevel)
            fleet.ConfidenceLevel = one.ConfidenceLevel;
        if (one.HasAssumedHoursPerDay)
            fleet.AssumedHoursPerDay = one.AssumedHoursPerDay;
        return fleet;
    }
}
