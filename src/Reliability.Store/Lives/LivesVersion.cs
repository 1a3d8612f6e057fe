using Npgsql;

namespace Reliability.Store.Lives;

/// <summary>
/// A mark on all lives of an organisation that every transaction which changes some of them replaces. It is random and never comes
/// back, whatever the database loses or is restored to: who finds the mark again finds the lives again.
/// </summary>
internal static class LivesVersion
{
    /// <summary>Replaces the mark, in the transaction that changes lives.</summary>
    public static NpgsqlBatchCommand Change(Database database, string organisation)
    {
        var command = new NpgsqlBatchCommand(
            $"""
            insert into {database.Schema}.lives_version (organisation, version) values ($1, gen_random_uuid())
            on conflict (organisation) do update set version = excluded.version
            """);
        DerivedRows.Add(command.Parameters, organisation);
        return command;
    }

    /// <summary>Reads the mark; null before the first change.</summary>
    public static async Task<Guid?> ReadAsync(Database database, string organisation, CancellationToken cancellation) =>
        (await database.ReadAsync(
            $"select version from {database.Schema}.lives_version where organisation = $1",
            [new NpgsqlParameter<string> { TypedValue = organisation }],
            reader => (Guid?)reader.GetGuid(0),
            cancellation)).SingleOrDefault();
}
