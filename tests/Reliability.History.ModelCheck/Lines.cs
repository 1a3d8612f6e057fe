using System.Globalization;
using Reliability.History.Lives;
using Reliability.Rules;

namespace Reliability.History.ModelCheck;

/// <summary>
/// Both sides in one form of words, so that they can be held against each other line by line. Of a life that enters no
/// sample neither age nor outcome says anything: there the reason is compared.
/// </summary>
internal static class Lines
{
    public static List<string> Of(Told told) =>
    [
        .. told.Lives.Select((life, i) => Of(i + 1, life)),
        .. told.Standings.OrderBy(s => s.Key, StringComparer.Ordinal).Select(s => $"event {s.Key}: {s.Value}"),
    ];

    public static List<string> Of(DerivedModule derived) =>
    [
        .. derived.Lives.Select((life, i) => Of(i + 1, life)),
        .. derived.Events.Select(s => (Id: s.EventId.ToString("D"), Standing: Of(s)))
            .OrderBy(s => s.Id, StringComparer.Ordinal).Select(s => $"event {s.Id}: {s.Standing}"),
    ];

    private static string Of(int number, ToldLife life)
    {
        var head = Head(number, life.FromReport, life.Refurbishments, life.By, life.Site, life.Host,
            life.Why is { } why ? Translation.Of(why).ToString() : "");
        return life.Left is { } left
            ? $"{head} left out: {left}"
            : head + Tail(life.Entry, life.End.ToString(), life.Lower, life.Upper, life.EndedInFailure, life.Mode, life.InService, life.Flagged, life.Doubts);
    }

    private static string Of(int number, Life life)
    {
        var head = Head(number, life.Origin == LifeOrigin.Report, life.Condition.RefurbishmentCount, life.Condition.Refurbisher,
            life.Site, life.HostDevice, life.RemovalReason?.ToString() ?? "");
        return life.Exclusion is { } exclusion
            ? $"{head} left out: {Of(exclusion)}"
            : head + Tail(life.EntryHours, life.Outcome?.Kind.ToString(), life.Outcome?.LowerHours, life.Outcome?.UpperHours,
                life.EndedInFailure, life.FailureMode, life.InService, life.IsFlagged,
                string.Join(' ', life.Ambiguities.Select(Of).Distinct().Order()));
    }

    private static string Head(int number, bool reported, int refurbishments, string? by, string? site, string? host, string why) =>
        Text($"life {number}{(reported ? " reported" : "")}: refurbished {refurbishments} by '{by}' at '{site}' in '{host}' removed '{why}'");

    private static string Tail(double entry, string? kind, double? lower, double? upper, bool failed, string? mode, bool inService,
        bool flagged, string doubts) =>
        Text($" from {entry} {kind} {lower} {upper}") + (failed ? $" failed by '{mode}'" : "") + (inService ? " in service" : "")
        + (flagged ? " flagged" : "") + (doubts.Length > 0 ? $" doubts {doubts}" : "");

    private static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);

    private static Doubt Of(LifeAmbiguity ambiguity) => ambiguity switch
    {
        LifeAmbiguity.UnmeasuredLowOutput => Doubt.UnmeasuredLowOutput,
        LifeAmbiguity.OtherReason => Doubt.OtherReason,
        LifeAmbiguity.FailureModeUnknown => Doubt.ModeUnknown,
        LifeAmbiguity.ConflictingReports => Doubt.Conflict,
        _ => throw new ArgumentOutOfRangeException(nameof(ambiguity)),
    };

    private static Left Of(LifeExclusion exclusion) => exclusion switch
    {
        LifeExclusion.ModelUnknown => Left.ModelUnknown,
        LifeExclusion.InstallMissing => Left.InstallMissing,
        LifeExclusion.EntryAgeUnknown => Left.EntryAgeUnknown,
        LifeExclusion.OpenedAfterOutcome => Left.OpenedAfterOutcome,
        LifeExclusion.EndedBeforeComplete => Left.EndedBeforeComplete,
        LifeExclusion.RenewalUnknown => Left.RenewalUnknown,
        LifeExclusion.NoExposure => Left.NoExposure,
        LifeExclusion.AgeUnknown => Left.AgeUnknown,
        LifeExclusion.ReportedBeyondCutoff => Left.BeyondCutoff,
        LifeExclusion.ExcludedByPolicy => Left.ByPolicy,
        _ => throw new ArgumentOutOfRangeException(nameof(exclusion)),
    };

    private static Standing Of(EventStatus status) => status.Standing switch
    {
        EventStanding.Counted => Standing.Counted,
        EventStanding.Unresolved => status.UnresolvedReason switch
        {
            UnresolvedReason.ModuleNotRegistered => Standing.NotRegistered,
            UnresolvedReason.ModelUnknown => Standing.ModelUnknown,
            UnresolvedReason.InstallMissing => Standing.InstallMissing,
            UnresolvedReason.TargetMissing => Standing.TargetMissing,
            UnresolvedReason.TargetCircular => Standing.TargetCircular,
            _ => throw new InvalidOperationException("Unresolved without a reason."),
        },
        EventStanding.Retracted => Standing.Retracted,
        EventStanding.Replaced => Standing.Replaced,
        EventStanding.Duplicate => Standing.Duplicate,
        EventStanding.Superseded => Standing.Superseded,
        EventStanding.LeftOut => Standing.LeftOut,
        EventStanding.Conflict => Standing.Conflict,
        EventStanding.AfterCutoff => Standing.AfterCutoff,
        _ => throw new ArgumentOutOfRangeException(nameof(status)),
    };
}
