using Reliability.Store.Schema;

namespace Reliability.Store.Posting;

/// <summary>Numbers for windows, never given twice by any process. Taken by one writer at a time.</summary>
internal sealed class WindowNumbers(Database database)
{
    private long _next;
    private long _end;

    public async Task<long> NextAsync()
    {
        if (_next == _end)
        {
            var block = (await database.ReadAsync(
                $"select nextval('{database.Schema}.commit_window_number')", [], reader => reader.GetInt64(0),
                CancellationToken.None))[0];
            _next = block * StoreSchema.WindowNumbersTaken;
            _end = _next + StoreSchema.WindowNumbersTaken;
        }
        return _next++;
    }
}
