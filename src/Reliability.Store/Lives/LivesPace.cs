using System.Diagnostics;

namespace Reliability.Store.Lives;

/// <summary>
/// When lives are brought up to date. A few events at once; behind a bulk load when it pauses, since a module that is met in
/// many windows of it is then derived once, and the load has the machine to itself. At once too when somebody waits.
/// </summary>
internal sealed class LivesPace(Database database)
{
    /// <summary>From this many events and readings on, what came is taken for part of a bulk load.</summary>
    public const int Bulk = 200;

    private static readonly TimeSpan Longest = TimeSpan.FromSeconds(5);
    private static readonly TimeSpan Quiet = TimeSpan.FromMilliseconds(200);
    private static readonly TimeSpan Look = TimeSpan.FromMilliseconds(50);

    private long _wanted;

    /// <summary>Somebody in this process waits for lives to come to a position.</summary>
    public void Want(long position)
    {
        for (var wanted = Interlocked.Read(ref _wanted); wanted < position;)
        {
            var before = Interlocked.CompareExchange(ref _wanted, position, wanted);
            if (before == wanted) return;
            wanted = before;
        }
    }

    /// <summary>Waits until it is time.</summary>
    /// <param name="count">How many events and readings came.</param>
    /// <param name="reached">The position that lives have come to.</param>
    /// <param name="cancellation">Ends the wait.</param>
    public async Task WaitAsync(int count, long reached, CancellationToken cancellation)
    {
        if (count < Bulk) return;
        var began = Stopwatch.GetTimestamp();
        var (position, since) = (-1L, began);
        while (Stopwatch.GetElapsedTime(began) < Longest && Interlocked.Read(ref _wanted) <= reached)
        {
            var last = (await database.ReadAsync(
                $"select coalesce(max(seq_id), 0) from {database.Schema}.mt_events", [], reader => reader.GetInt64(0),
                cancellation))[0];
            if (last != position) (position, since) = (last, Stopwatch.GetTimestamp());
            else if (Stopwatch.GetElapsedTime(since) >= Quiet) return;
            await Task.Delay(Look, cancellation);
        }
    }
}
