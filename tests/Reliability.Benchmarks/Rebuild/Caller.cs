using System.Diagnostics;

namespace Reliability.Benchmarks.Rebuild;

/// <summary>Calls again and again at a steady pace, and notes how long each answer took.</summary>
internal sealed class Caller
{
    private readonly List<double> _milliseconds = [];
    private readonly Task _calling;
    private volatile bool _stopped;

    private Caller(Func<int, Task> call, TimeSpan pace) => _calling = Task.Run(async () =>
    {
        for (var n = 0; !_stopped; n++)
        {
            var start = Stopwatch.GetTimestamp();
            await call(n);
            _milliseconds.Add(Stopwatch.GetElapsedTime(start).TotalMilliseconds);
            await Task.Delay(pace);
        }
    });

    /// <summary>Starts.</summary>
    /// <param name="call">One call; it is given its number.</param>
    /// <param name="pace">Pause between an answer and the next call.</param>
    public static Caller Start(Func<int, Task> call, TimeSpan pace) => new(call, pace);

    /// <summary>Stops after the call under way.</summary>
    /// <returns>How many calls were answered, the median and the longest time in milliseconds.</returns>
    public async Task<(int Calls, double Median, double Longest)> StopAsync()
    {
        _stopped = true;
        await _calling;
        _milliseconds.Sort();
        return (_milliseconds.Count, _milliseconds[_milliseconds.Count / 2], _milliseconds[^1]);
    }
}
