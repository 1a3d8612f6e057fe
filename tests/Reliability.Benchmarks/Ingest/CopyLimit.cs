using System.Diagnostics;
using System.Globalization;
using Npgsql;
using NpgsqlTypes;

namespace Reliability.Benchmarks.Ingest;

/// <summary>
/// The limit that posting is held against: the same readings by plain binary COPY into a table with a primary key of random
/// uuids, in commits of 500, on the same PostgreSQL with synchronous_commit on. Nothing is checked and nothing follows.
/// </summary>
internal sealed class CopyLimit(NpgsqlDataSource database)
{
    private const int CommitRows = 500;
    private static readonly DateTime Start = new(2020, 1, 1, 0, 0, 0, DateTimeKind.Utc);

    /// <summary>Makes the table.</summary>
    public async Task PrepareAsync(CancellationToken cancellationToken)
    {
        await using var setting = database.CreateCommand("show synchronous_commit");
        if (await setting.ExecuteScalarAsync(cancellationToken) is not "on")
            throw new InvalidOperationException("synchronous_commit must be on.");
        await using var make = database.CreateCommand(
            "create table plain_reading (id uuid primary key, module text not null, read_time timestamptz not null, hours float8 not null)");
        await make.ExecuteNonQueryAsync(cancellationToken);
    }

    /// <summary>Copies so many rows; returns rows a second.</summary>
    public async Task<double> RateAsync(int rows, int modules, CancellationToken cancellationToken)
    {
        var ids = Enumerable.Range(0, rows).Select(_ => Guid.NewGuid()).ToArray();
        var names = Enumerable.Range(0, modules).Select(module => string.Create(CultureInfo.InvariantCulture, $"bench-{module:D5}")).ToArray();
        await using var connection = await database.OpenConnectionAsync(cancellationToken);
        var start = Stopwatch.GetTimestamp();
        for (var first = 0; first < rows; first += CommitRows)
        {
            await using var copy = await connection.BeginBinaryImportAsync(
                "copy plain_reading (id, module, read_time, hours) from stdin (format binary)", cancellationToken);
            for (var i = first; i < Math.Min(first + CommitRows, rows); i++)
            {
                await copy.StartRowAsync(cancellationToken);
                await copy.WriteAsync(ids[i], NpgsqlDbType.Uuid, cancellationToken);
                await copy.WriteAsync(names[i % modules], NpgsqlDbType.Text, cancellationToken);
                await copy.WriteAsync(Start.AddSeconds(i), NpgsqlDbType.TimestampTz, cancellationToken);
                await copy.WriteAsync((double)i, NpgsqlDbType.Double, cancellationToken);
            }

            await copy.CompleteAsync(cancellationToken);
        }

        return rows / Stopwatch.GetElapsedTime(start).TotalSeconds;
    }
}
