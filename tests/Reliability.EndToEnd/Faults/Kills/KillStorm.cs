using System.Diagnostics;
using Reliability.EndToEnd.Faults.Clients;
using Xunit;

namespace Reliability.EndToEnd.Faults.Kills;

/// <summary>Clients that post a load while something is killed at random moments, and the count of it.</summary>
internal sealed class KillStorm(Crew crew, Random random, ITestOutputHelper output)
{
    private const int LongestLoadMilliseconds = 160;

    private static readonly TimeSpan LongestRecovery = TimeSpan.FromMinutes(5), Pace = TimeSpan.FromMilliseconds(5);

    public int Kills { get; private set; }

    /// <summary>Kills at which events were sent and not answered.</summary>
    public int KillsInFlight { get; private set; }

    /// <summary>Kills that came before a single receipt had been given after the kill before.</summary>
    public int KillsInRecovery { get; private set; }

    /// <summary>Events sent and not answered, over all kills.</summary>
    public long EventsInFlight { get; private set; }

    public TimeSpan SlowestRecovery { get; private set; }

    /// <summary>Lets the clients post for a random while and kills.</summary>
    /// <param name="victim">What is killed, for the record.</param>
    /// <param name="kill">Kills; false when it was down already.</param>
    public async Task KillAsync(string victim, Func<Task<bool>> kill)
    {
        var started = Stopwatch.GetTimestamp();
        var before = crew.Receipts.Given;
        // One kill in ten does not wait for the recovery from the one before.
        if (random.Next(10) > 0)
            await RecoveredAsync(before, started);
        var moment = TimeSpan.FromMilliseconds(random.Next(10, LongestLoadMilliseconds));
        var loading = Stopwatch.GetTimestamp();
        while (Stopwatch.GetElapsedTime(loading) < moment)
        {
            crew.GiveSome();
            await crew.PauseAsync(Pace);
        }

        var inFlight = crew.InFlight;
        if (!await kill())
            return;
        Kills++;
        KillsInFlight += inFlight > 0 ? 1 : 0;
        KillsInRecovery += crew.Receipts.Given == before ? 1 : 0;
        EventsInFlight += inFlight;
        output.WriteLine($"Kill {Kills}, {victim}: {crew.Receipts.Given} receipts so far, {inFlight} events in flight.");
    }

    private async Task RecoveredAsync(long before, long started)
    {
        crew.GiveSome();
        while (crew.Receipts.Given == before)
        {
            Assert.True(Stopwatch.GetElapsedTime(started) < LongestRecovery, $"No receipt came within {LongestRecovery} after a kill.");
            await crew.PauseAsync(Pace);
        }

        var took = Stopwatch.GetElapsedTime(started);
        SlowestRecovery = took > SlowestRecovery ? took : SlowestRecovery;
    }
}
