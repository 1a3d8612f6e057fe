using Microsoft.Extensions.Logging;
using Reliability.Engine.Remote.Connections;
using Xunit;

namespace Reliability.Engine.Remote.Tests;

/// <summary>What goes wrong in the host itself while it looks after a plug-in ends neither the host nor the plug-in for good.</summary>
public sealed class SupervisorTests
{
    [Fact]
    public void A_log_that_fails_and_a_listener_that_fails_are_survived()
    {
        using var log = new FailingLog();
        using var plugIn = new RemotePlugIn(
            new RemotePlugInSettings
            {
                Id = "gompertz",
                Command = "dotnet",
                Arguments = [Path.Combine(AppContext.BaseDirectory, "Reliability.PlugIns.Hostile.dll"), "gompertz", "none"],
            },
            log);
        var told = 0;
        using var accepted = new ManualResetEventSlim();
        plugIn.ModelsChanged += (_, _) =>
        {
            log.Fails = true;
            if (++told == 1)
                throw new NotSupportedException("A listener's fault.");
            log.Fails = false;
            accepted.Set();
        };
        plugIn.Start();
        Assert.True(accepted.Wait(TimeSpan.FromSeconds(120), TestContext.Current.CancellationToken));
        Assert.True(log.Failures > 0);
        Assert.True(plugIn.Status.IsAvailable);
        Assert.Equal("gompertz", Assert.Single(plugIn.Families).Family.Id);
    }

    [Fact]
    public void Waits_double_to_a_minute_and_start_anew()
    {
        var backOff = new BackOff();
        var waits = Enumerable.Range(0, 12).Select(_ => backOff.After(TimeSpan.Zero).TotalSeconds).ToList();
        Assert.Equal([0.1, 0.2, 0.4, 0.8, 1.6, 3.2, 6.4, 12.8, 25.6, 51.2, 60, 60], waits);
        backOff.Restart();
        Assert.Equal(0.1, backOff.After(TimeSpan.Zero).TotalSeconds);
        Assert.Equal(0.1, backOff.After(TimeSpan.FromSeconds(30)).TotalSeconds);
    }

    private sealed class FailingLog : ILogger, IDisposable
    {
        private int _failures;

        public volatile bool Fails;

        public int Failures => Volatile.Read(ref _failures);

        public void Log<TState>(
            LogLevel logLevel, EventId eventId, TState state, Exception? exception, Func<TState, Exception?, string> formatter)
        {
            // Of what is told when a session has ended, and by no other thread.
            if (!Fails || logLevel != LogLevel.Warning)
                return;
            Interlocked.Increment(ref _failures);
            throw new InvalidOperationException("The disk is full.");
        }

        public bool IsEnabled(LogLevel logLevel) => true;

        public IDisposable? BeginScope<TState>(TState state)
            where TState : notnull => null;

        public void Dispose()
        {
        }
    }
}
