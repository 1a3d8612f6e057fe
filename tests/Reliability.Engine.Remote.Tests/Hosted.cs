using System.Collections.Concurrent;
using Microsoft.Extensions.Logging;
using Reliability.Engine.Abstractions;
using Xunit;

namespace Reliability.Engine.Remote.Tests;

/// <summary>A plug-in of the hostile program in a real process, with what was logged of it.</summary>
internal sealed class Hosted : IDisposable, ILogger
{
    private static readonly TimeSpan Usual = TimeSpan.FromSeconds(30), Longest = TimeSpan.FromSeconds(120);

    private readonly ConcurrentQueue<string> _log = new();

    public Hosted(string vice, Func<RemotePlugInSettings, RemotePlugInSettings>? adapt = null, bool logThrows = false)
        : this(adapt?.Invoke(Hostile(vice)) ?? Hostile(vice), logThrows)
    {
    }

    public Hosted(RemotePlugInSettings settings, bool logThrows = false)
    {
        LogThrows = logThrows;
        PlugIn = new RemotePlugIn(settings with { StartDeadline = settings.StartDeadline < Usual ? settings.StartDeadline : Longest }, this);
        PlugIn.Start();
    }

    public RemotePlugIn PlugIn { get; }

    /// <summary>Whether the log takes a line and throws.</summary>
    private bool LogThrows { get; }

    public IReadOnlyCollection<string> Log => _log;

    public ILifeFamily Family => Assert.Single(PlugIn.Families).Family;

    public ILifeModel Estimator => Assert.Single(PlugIn.Estimators);

    /// <summary>Waits until it answers.</summary>
    public Hosted Up()
    {
        Assert.True(PlugIn.WaitUntilAvailable(Longest), string.Join(Environment.NewLine, _log));
        return this;
    }

    /// <summary>log R at one age.</summary>
    public double LogSurvival(double hours)
    {
        Span<double> result = stackalloc double[1];
        Family.LogSurvival([0.01, 1000], [hours], result);
        return result[0];
    }

    /// <summary>The reason that a caller is told.</summary>
    public string Fails() => Assert.Throws<LifeModelFailedException>(() => LogSurvival(100)).Reason;

    public void Dispose() => PlugIn.Dispose();

    private static RemotePlugInSettings Hostile(string vice) => new()
    {
        Id = "gompertz",
        Command = "dotnet",
        Arguments = [Path.Combine(AppContext.BaseDirectory, "Reliability.PlugIns.Hostile.dll"), "gompertz", vice],
    };

    void ILogger.Log<TState>(
        LogLevel logLevel, EventId eventId, TState state, Exception? exception, Func<TState, Exception?, string> formatter)
    {
        _log.Enqueue(formatter(state, exception));
        if (LogThrows)
            throw new IOException("The log is full.");
    }

    bool ILogger.IsEnabled(LogLevel logLevel) => true;

    IDisposable? ILogger.BeginScope<TState>(TState state) => null;
}
