using System.Text.Json;
using Npgsql;
using Reliability.History.Lives;

namespace Reliability.Store.Lives;

/// <summary>The columns of lives that samples are made of, which are far shorter than whole lives.</summary>
internal static class SampleRow
{
    private const char Between = ' ';

    // Whole lives stand where columns do not say enough: what is odd about flagged ones, and rows of before these columns.
    public const string Columns =
        "module, model, end_time, in_service, entry_hours, outcome, lower_hours, upper_hours, failure_mode, rated_hours, exclusion, ambiguities, "
        + "case when flagged or in_service is null then life end";

    /// <summary>Choices that could have given a life another outcome, as its row holds them; null when there are none.</summary>
    public static string? Ambiguities(Life life) =>
        life.Ambiguities.Count == 0 ? null : string.Join(Between, life.Ambiguities.Select(ambiguity => Words.Of(ambiguity)));

    /// <summary>Reads a row of <see cref="Columns"/>.</summary>
    public static LifeInSample Read(NpgsqlDataReader reader) => reader.IsDBNull(12)
        ? new()
        {
            ModuleId = reader.GetString(0),
            ModelId = reader.GetString(1),
            EndTime = new DateTimeOffset(reader.GetDateTime(2)),
            InService = reader.GetBoolean(3),
            EntryHours = reader.GetDouble(4),
            Outcome = reader.IsDBNull(5) ? null : new LifeOutcome(
                Words.Read<OutcomeKind>(reader.GetString(5)), reader.GetDouble(6), reader.IsDBNull(7) ? null : reader.GetDouble(7)),
            FailureMode = reader.IsDBNull(8) ? null : reader.GetString(8),
            RatedHours = reader.IsDBNull(9) ? null : reader.GetDouble(9),
            Exclusion = reader.IsDBNull(10) ? null : Words.Read<LifeExclusion>(reader.GetString(10)),
            Flags = [],
            Ambiguities = reader.IsDBNull(11)
                ? [] : [.. reader.GetString(11).Split(Between).Select(Words.Read<LifeAmbiguity>)],
        }
        : LifeInSample.Of(JsonSerializer.Deserialize(reader.GetFieldValue<byte[]>(12), StoreJsonContext.Default.Life)!);
}
