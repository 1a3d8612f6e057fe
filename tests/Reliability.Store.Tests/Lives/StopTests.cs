using System.Collections.Concurrent;
using Microsoft.Extensions.Logging;
using Reliability.History.Events;
using Reliability.Store.Posting;
using Xunit;

namespace Reliability.Store.Tests.Lives;

/// <summary>A store that is stopped in the middle of a load ends its work and has nothing to complain of.</summary>
public sealed class StopTests(SharedServer server)
{
    private const int Stops = 10, Modules = 200;

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Stopped_under_load_it_logs_no_error_and_keeps_every_receipt()
    {
        var options = new ReliabilityStoreOptions { ConnectionString = server.ConnectionString, Schema = server.NewSchema() };
        using var logs = new Errors();
        var receipts = new ConcurrentBag<Guid>();
        for (var stop = 0; stop < Stops; stop++)
        {
            var store = new ReliabilityStore(options, logs);
            await store.StartAsync(Cancellation);
            var enough = receipts.Count + ((stop + 1) * Modules);
            var load = Enumerable.Range(0, 3).Select(lane => Task.Run(() => LoadAsync(store, stop, lane, receipts), Cancellation)).ToList();
            while (receipts.Count < enough) await Task.Delay(10, Cancellation);

            await store.DisposeAsync();
            await Task.WhenAll(load);
        }

        Assert.True(logs.Told.IsEmpty, string.Join("\n\n", logs.Told));
        var there = await RecordedLog.IdsAsync(server.ConnectionString, options.Schema, Cancellation);
        Assert.Equal(there.Count, there.Distinct().Count());
        Assert.Subset(there.ToHashSet(), receipts.ToHashSet());
    }

    private static async Task LoadAsync(ReliabilityStore store, int stop, int lane, ConcurrentBag<Guid> receipts)
    {
        for (var day = 1; ; day++)
        {
            RecordedEvent[] events =
            [
                .. Enumerable.Range(0, Modules).Select(n => Scenario.Read($"m-{n}", (stop * 1_000) + (lane * 300) + day, day)),
                Scenario.Registered($"m-{stop}-{lane}-{day}"),
            ];
            try
            {
                var outcomes = await store.Default.Events.RecordAsync(events, Cancellation);
                foreach (var receipt in events.Zip(outcomes).Where(pair => pair.Second is RecordOutcome.Receipt))
                    receipts.Add(receipt.First.EventId);
            }
            catch (StoreUnavailableException)
            {
                return;
            }
        }
    }

    private sealed class Errors : ILoggerFactory, ILogger
    {
        public ConcurrentQueue<string> Told { get; } = [];

        public void AddProvider(ILoggerProvider provider)
        {
        }

        public ILogger CreateLogger(string categoryName) => this;

        public IDisposable? BeginScope<TState>(TState state)
            where TState : notnull => null;

        public bool IsEnabled(LogLevel logLevel) => logLevel >= LogLevel.Error;

        public void Log<TState>(
            LogLevel logLevel, EventId eventId, TState state, Exception? exception, Func<TState, Exception?, string> formatter)
        {
            if (IsEnabled(logLevel)) Told.Enqueue($"{formatter(state, exception)}\n{exception}");
        }

        public void Dispose()
        {
        }
    }
}
