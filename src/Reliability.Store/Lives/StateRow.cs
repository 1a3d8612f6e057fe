using System.Text.Json;
using Reliability.History.Lives;
using Reliability.Store.Modules;
using Reliability.Store.Records;

namespace Reliability.Store.Lives;

/// <summary>A row of module states.</summary>
internal sealed record StateRow
{
    // An id that is another's has no state of its own.
    private const string Joined = "joined";

    public required string Module { get; init; }

    public required string State { get; init; }

    public DerivedModule? Derived { get; init; }

    public IReadOnlyList<string> ModelsNamed { get; init; } = [];

    public IReadOnlyList<string> SpellingsNamed { get; init; } = [];

    public required long Position { get; init; }

    public long CatalogueVersion { get; init; }

    public required long AliasVersion { get; init; }

    /// <summary>The primary id, for an id that was found to be another's.</summary>
    public string? JoinedTo { get; init; }

    public required string Summary { get; init; }

    public string? Continuation { get; init; }

    /// <summary>
    /// The rows of a module: its own, and one for each other id that has events, so that an older view of that id cannot
    /// come back beside it.
    /// </summary>
    public static IEnumerable<StateRow> Of(DerivedRecord record)
    {
        yield return new StateRow
        {
            Module = record.Record.ModuleId,
            State = Words.Of(record.Derived.State),
            Derived = record.Derived,
            ModelsNamed = record.Stored.ModelsNamed,
            SpellingsNamed = [.. record.Spellings.Select(StoredRecord.Word)],
            Position = record.Position,
            CatalogueVersion = record.CatalogueVersion,
            AliasVersion = record.Aliases.Version,
            Summary = JsonSerializer.Serialize(
                ModuleSummary.Of(record.Record, record.Derived), StoreJsonContext.Default.ModuleSummary),
            Continuation = RowContinuation.Of(record)?.ToJson(),
        };
        if (record.Stored.JoinedModules.Count == 0) yield break;
        var posted = record.Record.Events.Select(recorded => recorded.ModuleId).ToHashSet(StringComparer.Ordinal);
        foreach (var other in record.Stored.JoinedModules.Where(posted.Contains))
        {
            yield return new StateRow
            {
                Module = other,
                State = Joined,
                Position = record.Position,
                AliasVersion = record.Aliases.Version,
                JoinedTo = record.Record.ModuleId,
                Summary = "{}",
            };
        }
    }
}
