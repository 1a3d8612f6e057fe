using System.Diagnostics;
using Npgsql;
using Reliability.Store.Revisions;

namespace Reliability.Store.Log;

/// <summary>
/// Up to where the log is settled, read at most once a moment however many ask.
/// </summary>
internal sealed class SettledMark(string organisation, Database database)
{
    private static readonly TimeSpan Moment = TimeSpan.FromMilliseconds(50);

    private readonly Lock _lock = new();
    private Task<Revision>? _mark;
    private long _asked;

    public Task<Revision> ReadAsync(CancellationToken cancellation)
    {
        lock (_lock)
        {
            if (_mark is null || _mark.IsFaulted || Stopwatch.GetElapsedTime(_asked) > Moment)
            {
                _asked = Stopwatch.GetTimestamp();
                _mark = QueryAsync();
            }
            return _mark.WaitAsync(cancellation);
        }
    }

    private async Task<Revision> QueryAsync() => (await database.ReadAsync(
        $"""
        select {LogProgress.Settled(database)},
          coalesce((select max(position) from {database.Schema}.module_model where organisation = $1), 0)
        """,
        [new NpgsqlParameter<string> { TypedValue = organisation }],
        reader => new Revision(
            organisation, reader.GetInt64(0), Math.Min(reader.GetInt64(0), reader.GetInt64(1))),
        CancellationToken.None))[0];
}
