using System.Diagnostics;
using Npgsql;
using Reliability.Store.Lives;
using Reliability.Store.Log;

namespace Reliability.Store.Revisions;

/// <summary>Where an organisation's record stands, and waiting for the lives to follow.</summary>
public sealed class RevisionQueries
{
    private static readonly TimeSpan FirstPause = TimeSpan.FromMilliseconds(5);
    private static readonly TimeSpan LongestPause = TimeSpan.FromMilliseconds(50);

    private readonly string _organisation;
    private readonly Database _database;
    private readonly LivesPace? _pace;

    internal RevisionQueries(string organisation, Database database, LivesPace? pace = null) =>
        (_organisation, _database, _pace) = (organisation, database, pace);

    /// <summary>The revision that stored lives and module states have taken in: what an answer rests on.</summary>
    /// <param name="cancellation">Ends the query.</param>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public async Task<Revision> CurrentAsync(CancellationToken cancellation)
    {
        var rows = await _database.ReadAsync(
            $"""
            select {LogProgress.Lives(_database)},
              coalesce((select max(position) from {_database.Schema}.module_model where organisation = $1), 0)
            """,
            [new NpgsqlParameter<string> { TypedValue = _organisation }],
            reader => (Position: reader.GetInt64(0), Catalogue: reader.GetInt64(1)),
            cancellation);
        return new Revision(_organisation, rows[0].Position, Math.Min(rows[0].Catalogue, rows[0].Position));
    }

    /// <summary>Waits until stored lives and module states have taken in a revision.</summary>
    /// <param name="minimum">The revision, as a receipt or an answer gave it.</param>
    /// <param name="timeout">The longest wait.</param>
    /// <param name="cancellation">Ends the wait.</param>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public async Task<RevisionWait> WaitAsync(Revision minimum, TimeSpan timeout, CancellationToken cancellation)
    {
        if (minimum.Organisation != _organisation) return RevisionWait.OtherOrganisation;
        _pace?.Want(minimum.Position);
        var started = Stopwatch.GetTimestamp();
        for (var pause = FirstPause; ; pause = pause * 2 < LongestPause ? pause * 2 : LongestPause)
        {
            // Progress as committed, whichever process made it. The sequence of the log would not do: an append that
            // failed has moved it.
            if ((await CurrentAsync(cancellation)).Position >= minimum.Position) return RevisionWait.Reached;
            if (pause == FirstPause && await LastPositionAsync(cancellation) < minimum.Position)
                return RevisionWait.Unknown;
            if (Stopwatch.GetElapsedTime(started) + pause > timeout) return RevisionWait.TimedOut;
            await Task.Delay(pause, cancellation);
        }
    }

    private async Task<long> LastPositionAsync(CancellationToken cancellation) =>
        (await _database.ReadAsync(
            $"select coalesce(max(seq_id), 0) from {_database.Schema}.mt_events", [],
            reader => reader.GetInt64(0), cancellation))[0];
}
