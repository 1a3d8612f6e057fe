using System.Text.Json;
using Reliability.History.Lives;

namespace Reliability.Store.Lives;

/// <summary>What a module's row holds so that further readings can be taken in without the record.</summary>
/// <param name="SheetPosition">
/// Position of the last sheet whose readings of the module are in the row: those of sheets behind it are not.
/// </param>
/// <param name="From">What must be known of the record.</param>
internal sealed record RowContinuation(long SheetPosition, Continuation From)
{
    /// <summary>That of a derived record; null when it cannot be gone on with, or when the module has several ids.</summary>
    public static RowContinuation? Of(DerivedRecord record) =>
        record.Stored.JoinedModules.Count == 0 && record.Derived.Continuation is { } from
            ? new(record.Stored.SheetPosition, from)
            : null;

    /// <summary>Reads what a row holds; null when another version of the service wrote it otherwise.</summary>
    public static RowContinuation? Read(ReadOnlySpan<byte> json)
    {
        try
        {
            return JsonSerializer.Deserialize(json, StoreJsonContext.Default.RowContinuation);
        }
        catch (JsonException)
        {
            return null;
        }
    }

    public string ToJson() => JsonSerializer.Serialize(this, StoreJsonContext.Default.RowContinuation);
}
