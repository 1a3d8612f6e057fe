using Reliability.History.Catalogue;
using Reliability.History.Events;
using Reliability.History.Lives;
using Reliability.Rules;
using H = Reliability.History.Events;

namespace Reliability.History.ModelCheck;

/// <summary>From the model's facts to History's events: a change of types and units, no rule.</summary>
internal static class Translation
{
    public const string Module = "blower-17";

    private static readonly DateTimeOffset Origin = new(2024, 1, 1, 0, 0, 0, TimeSpan.Zero);

    public static ModuleRecord Record(IEnumerable<Fact> facts) => new(Module, [.. facts.Select(Event)]);

    public static DateTimeOffset Time(long hour) => Origin.AddHours(hour);

    public static ModuleCatalogue Catalogue(Asked asked) =>
        new(asked.Models.Select(model => new ModuleModel
        {
            Id = model.Key,
            Versions = [.. model.Value.Select(v => new ModuleModelVersion
            {
                EffectiveTime = Time(v.From),
                OutputThreshold = v.Percent is { } percent ? new() { Fraction = percent / 100.0 } : null,
            })],
        }));

    public static DerivationOptions Options(Asked asked) => new()
    {
        DataCutoffTime = asked.Cutoff is { } hour ? Time(hour) : null,
        UnknownRenewalRenews = asked.UnknownRenews,
        FailureMode = asked.Mode,
        OutcomePolicy = OutcomePolicy.Default.With(
            asked.Overrides.Select(row => KeyValuePair.Create(Of(row.Key), Of(row.Value)))) with
        {
            UnmeasuredLowOutput = Of(asked.UnmeasuredLowOutput),
        },
    };

    public static RemovalReason Of(Reason reason) => reason switch
    {
        Reason.Failed => RemovalReason.Failed,
        Reason.LowOutput => RemovalReason.LowOutput,
        Reason.RatedHoursReached => RemovalReason.RatedHoursReached,
        Reason.Planned => RemovalReason.Planned,
        Reason.Upgrade => RemovalReason.Upgrade,
        Reason.Recall => RemovalReason.RecallOrSafetyNotice,
        Reason.HostRetired => RemovalReason.HostRetired,
        Reason.LoanReturned => RemovalReason.LoanReturned,
        Reason.Other => RemovalReason.Other,
        _ => throw new ArgumentOutOfRangeException(nameof(reason)),
    };

    private static OutcomeVerdict Of(Verdict verdict) => verdict switch
    {
        Verdict.Survived => OutcomeVerdict.Survived,
        Verdict.Failed => OutcomeVerdict.Failed,
        Verdict.Excluded => OutcomeVerdict.Excluded,
        _ => throw new ArgumentOutOfRangeException(nameof(verdict)),
    };

    private static RecordedEvent Event(Fact fact) => new()
    {
        EventId = Guid.Parse(fact.Id),
        OriginalId = fact.PostedId,
        Source = fact.Source,
        ModuleId = fact.PostedForHost is { } host ? HostRecord.Key(host) : Module,
        Occurrence = When(fact.When),
        RecordTime = Time(50_000),
        Body = Body(fact),
    };

    private static Occurrence When(Window window) => window.IsDay
        ? Occurrence.OnDay(Time(window.From), Time(window.To), "UTC")
        : Occurrence.AtInstant(Time(window.From));

    private static EventBody Body(Fact f) => f.Kind switch
    {
        Kind.Registered => new RegisteredV1
        {
            Model = f.Model,
            Condition = Condition(f),
            AgeHours = f.Age,
            ReadingHours = f.Reading,
            CompleteFrom = Date(f.CompleteFrom),
        },
        Kind.Installed => new InstalledV1
        {
            HostDevice = f.Host!,
            Site = f.Site,
            ReadingHours = f.Reading,
            Meter = f.HostMeter ? MeterOwner.Host : MeterOwner.Module,
            MeterStopsAtFailure = f.Stops,
        },
        Kind.Read => new RunHoursReadV1
        {
            Meter = Meter(f.OfHost),
            Readings = [.. f.Readings.Select(r => new MeterReading
            {
                Earliest = Time(r.When.From),
                Latest = Time(r.When.To),
                Hours = r.Hours,
            })],
        },
        Kind.MeterChanged => new MeterChangedV1 { Meter = Meter(f.OfHost), FinalHours = f.Final, FirstHours = f.First },
        Kind.Output => f.InUnit
            ? new OutputMeasuredV1 { Value = f.Percent, ReadingHours = f.Reading }
            : new OutputMeasuredV1 { Fraction = f.Percent / 100.0, ReadingHours = f.Reading },
        Kind.Failed => new FailedV1
        {
            Mode = f.Mode,
            ReadingHours = f.Reading,
            ReadingIs = f.Moment ? FailureReading.Moment : FailureReading.Discovery,
        },
        Kind.Removed => new RemovedV1 { Reason = Of(f.Why!.Value), ReadingHours = f.Reading },
        Kind.Repaired => new RepairedV1
        {
            By = f.By,
            RenewsWearingPart = Renews(f.Renewal),
            ReadingBeforeHours = f.Before,
            ReadingAfterHours = f.After,
        },
        Kind.Refurbished => new RefurbishedV1
        {
            By = f.By,
            RenewsWearingPart = Renews(f.Renewal),
            ReadingBeforeHours = f.Before,
            ReadingAfterHours = f.After,
        },
        Kind.Retired => new RetiredV1 { Reason = f.RetiredFailed ? RetiredV1.FailedReason : "worn" },
        Kind.Retracted => new RetractedV1 { TargetSource = f.TargetSource, TargetEventId = f.TargetId },
        Kind.Replaced => new ReplacedV1
        {
            TargetSource = f.TargetSource,
            TargetEventId = f.TargetId,
            Occurrence = When(f.Right!.When),
            Body = Body(f.Right),
        },
        Kind.Reported => new LifeReportedV1
        {
            Model = f.Model,
            Condition = Condition(f),
            Site = f.Site,
            Start = When(f.Start),
            End = When(f.End),
            AgeAtObservationHours = f.Age,
            AgeAtEndHours = f.AgeAtEnd,
            AgeLastWorkingHours = f.LastWorking,
            FailureMoment = f.Moment,
            Outcome = f.ReportedFailed ? ReportedOutcome.Failed : ReportedOutcome.Survived,
            Reason = f.Why is { } why ? Of(why) : null,
            InService = f.ReportedInService,
            FailureMode = f.Mode,
            CompleteFrom = Date(f.CompleteFrom),
        },
        _ => throw new ArgumentOutOfRangeException(nameof(f)),
    };

    private static DateTimeOffset? Date(long? hour) => hour is { } known ? Time(known) : null;

    private static H.Condition Condition(Fact f) => new() { RefurbishmentCount = f.Refurbishments, Refurbisher = f.By };

    private static MeterOwner? Meter(bool? ofHost) =>
        ofHost is { } host ? host ? MeterOwner.Host : MeterOwner.Module : null;

    private static RenewalStatement Renews(Renewal renewal) => renewal switch
    {
        Renewal.Yes => RenewalStatement.Yes,
        Renewal.No => RenewalStatement.No,
        _ => RenewalStatement.Unknown,
    };
}
