using Reliability.History.Aliases;
using Reliability.History.Events;
using Reliability.History.Lives;

namespace Reliability.Service.Events;

/// <summary>The codes of the wire beside those of the record.</summary>
internal static class Words
{
    public static WordPairs<V1.IdentifierKind, IdentifierKind> IdentifierKinds { get; } = new(
        (V1.IdentifierKind.SerialNumber, IdentifierKind.Serial),
        (V1.IdentifierKind.Udi, IdentifierKind.Udi),
        (V1.IdentifierKind.AssetNumber, IdentifierKind.Asset));

    public static WordPairs<V1.RemovalReason, RemovalReason> RemovalReasons { get; } = new(
        (V1.RemovalReason.Failed, RemovalReason.Failed),
        (V1.RemovalReason.LowOutput, RemovalReason.LowOutput),
        (V1.RemovalReason.RatedHoursReached, RemovalReason.RatedHoursReached),
        (V1.RemovalReason.Planned, RemovalReason.Planned),
        (V1.RemovalReason.Upgrade, RemovalReason.Upgrade),
        (V1.RemovalReason.RecallOrSafetyNotice, RemovalReason.RecallOrSafetyNotice),
        (V1.RemovalReason.HostRetired, RemovalReason.HostRetired),
        (V1.RemovalReason.LoanReturned, RemovalReason.LoanReturned),
        (V1.RemovalReason.Other, RemovalReason.Other));

    public static WordPairs<V1.WearingPartRenewal, RenewalStatement> Renewals { get; } = new(
        (V1.WearingPartRenewal.Unknown, RenewalStatement.Unknown),
        (V1.WearingPartRenewal.Unspecified, RenewalStatement.Unknown),
        (V1.WearingPartRenewal.Renewed, RenewalStatement.Yes),
        (V1.WearingPartRenewal.NotRenewed, RenewalStatement.No));

    public static WordPairs<V1.OutcomeVerdict, OutcomeVerdict> Verdicts { get; } = new(
        (V1.OutcomeVerdict.Failed, OutcomeVerdict.Failed),
        (V1.OutcomeVerdict.Survived, OutcomeVerdict.Survived),
        (V1.OutcomeVerdict.Excluded, OutcomeVerdict.Excluded));

    public static WordPairs<V1.AliasKind, AliasKind> AliasKinds { get; } = new(
        (V1.AliasKind.Module, AliasKind.Module),
        (V1.AliasKind.Site, AliasKind.Site),
        (V1.AliasKind.Refurbisher, AliasKind.Refurbisher),
        (V1.AliasKind.HostModel, AliasKind.HostModel));

    public static WordPairs<V1.ModuleState, ModuleState> States { get; } = new(
        (V1.ModuleState.Unregistered, ModuleState.Unregistered),
        (V1.ModuleState.OnShelf, ModuleState.OnShelf),
        (V1.ModuleState.InService, ModuleState.InService),
        (V1.ModuleState.FailedInPlace, ModuleState.FailedInPlace),
        (V1.ModuleState.Removed, ModuleState.Removed),
        (V1.ModuleState.Retired, ModuleState.Retired));

    private static readonly (V1.DisposalRoute Wire, string Code)[] DisposalRoutes =
    [
        (V1.DisposalRoute.MakerReturn, "maker-return"), (V1.DisposalRoute.Recycled, "recycled"),
        (V1.DisposalRoute.Parts, "parts"), (V1.DisposalRoute.HazardousWaste, "hazardous-waste"),
        (V1.DisposalRoute.GeneralWaste, "general-waste"),
    ];

    /// <summary>The record's code for where a module went; null when not stated.</summary>
    public static string? DisposalRoute(V1.DisposalRoute route) =>
        DisposalRoutes.FirstOrDefault(pair => pair.Wire == route).Code;

    /// <summary>The wire's word for it; not stated when the code is none of ours.</summary>
    public static V1.DisposalRoute DisposalRoute(string? code) =>
        DisposalRoutes.FirstOrDefault(pair => pair.Code == code).Wire;

    /// <summary>A code in UPPER_SNAKE form, as answers give them, of an enum value such as <c>ReadingLeftOut</c>.</summary>
    public static string Code<T>(T value)
        where T : struct, Enum
    {
        var name = value.ToString();
        return string.Concat(name.Select((letter, i) =>
            i > 0 && char.IsUpper(letter) ? "_" + letter : char.ToUpperInvariant(letter).ToString()));
    }
}
