using System.Diagnostics;
using Reliability.EndToEnd.Faults.Clients;
using Xunit;

namespace Reliability.EndToEnd.Faults.Kills;

/// <summary>Clients that post a load while something is killed at random moments, and the count of it.</summary>
internal sealed class KillStorm(IReadOnlyList<ResumingClient> clients, Load load, Receipts receipts, Random random, ITestOutputHelper output)
{
    private const int LongestLoadMilliseconds = 160;

    private static readonly TimeSpan LongestRecovery = TimeSpan.FromSeconds(60), Pace = TimeSpan.FromMilliseconds(5);

    private Task _posting = Task.CompletedTask;

    public int Kills { get; private set; }

    /// <summary>Kills at which events were sent and not answered.</summary>
    public int KillsInFlight { get; private set; }

    /// <summary>Kills that came before a single receipt had been given after the kill before.</summary>
    public int KillsInRecovery { get; private set; }

    /// <summary>Events sent and not answered, over all kills.</summary>
    public long EventsInFlight { get; private set; }

    public TimeSpan SlowestRecovery { get; private set; }

    public void Start() =>
        _posting = Task.WhenAll(clients.Select(client => Task.Run(() => client.RunAsync(TestContext.Current.CancellationToken))));

    /// <summary>Lets the clients post for a random while and kills.</summary>
    /// <param name="victim">What is killed, for the record.</param>
    /// <param name="kill">Kills; false when it was down already.</param>
    public async Task KillAsync(string victim, Func<Task<bool>> kill)
    {
        var started = Stopwatch.GetTimestamp();
        var before = receipts.Given;
        // One kill in ten does not wait for the recovery from the one before.
        if (random.Next(10) > 0)
            await RecoveredAsync(before, started);
        var moment = TimeSpan.FromMilliseconds(random.Next(10, LongestLoadMilliseconds));
        var loading = Stopwatch.GetTimestamp();
        while (Stopwatch.GetElapsedTime(loading) < moment)
        {
            load.GiveSome(clients);
            await Task.Delay(Pace, TestContext.Current.CancellationToken);
        }

        Assert.False(_posting.IsFaulted, _posting.Exception?.ToString());
        var inFlight = clients.Sum(client => client.InFlight);
        if (!await kill())
            return;
        Kills++;
        KillsInFlight += inFlight > 0 ? 1 : 0;
        KillsInRecovery += receipts.Given == before ? 1 : 0;
        EventsInFlight += inFlight;
        output.WriteLine($"Kill {Kills}, {victim}: {receipts.Given} receipts so far, {inFlight} events in flight.");
    }

    /// <summary>Posts what is left, and waits until everything has its receipt.</summary>
    public async Task FinishAsync()
    {
        load.GiveRest(clients);
        await _posting;
    }

    private async Task RecoveredAsync(long before, long started)
    {
        load.GiveSome(clients);
        while (receipts.Given == before)
        {
            Assert.False(_posting.IsFaulted, _posting.Exception?.ToString());
            Assert.True(Stopwatch.GetElapsedTime(started) < LongestRecovery, $"No receipt came within {LongestRecovery} after a kill.");
            await Task.Delay(Pace, TestContext.Current.CancellationToken);
        }

        var took = Stopwatch.GetElapsedTime(started);
        SlowestRecovery = took > SlowestRecovery ? took : SlowestRecovery;
    }
}
