using Microsoft.Extensions.Logging;

namespace Reliability.Store;

/// <summary>
/// Where Marten and its daemon tell what they do. While they are being stopped, what ends because of that is no error: the
/// daemon calls it one when it is stopped in the middle of a start or of loading a page, and then is done with it.
/// </summary>
internal sealed class DaemonLogs(ILoggerFactory logs) : ILoggerFactory
{
    private volatile bool _stopping;

    /// <summary>From here on the daemon is being stopped.</summary>
    public void Stopping() => _stopping = true;

    public void AddProvider(ILoggerProvider provider) => logs.AddProvider(provider);

    public ILogger CreateLogger(string categoryName) => new Logger(this, logs.CreateLogger(categoryName));

    public void Dispose()
    {
        // The factory is another's.
    }

    private bool IsOfStopping(Exception? exception)
    {
        for (var inner = exception; _stopping && inner is not null; inner = inner.InnerException)
            if (inner is OperationCanceledException or ObjectDisposedException) return true;
        return false;
    }

    private sealed class Logger(DaemonLogs logs, ILogger log) : ILogger
    {
        public IDisposable? BeginScope<TState>(TState state)
            where TState : notnull => log.BeginScope(state);

        public bool IsEnabled(LogLevel logLevel) => log.IsEnabled(logLevel);

        public void Log<TState>(
            LogLevel logLevel, EventId eventId, TState state, Exception? exception, Func<TState, Exception?, string> formatter) =>
            log.Log(logs.IsOfStopping(exception) ? LogLevel.Debug : logLevel, eventId, state, exception, formatter);
    }
}
