using Microsoft.Extensions.Logging;

namespace Reliability.Engine.Remote;

/// <summary>A log that cannot be written must neither end the host nor stop what reads a plug-in's output: what it throws goes no further,
/// since there is no other place to tell it.</summary>
/// <param name="inner">The log.</param>
internal sealed class QuietLogger(ILogger inner) : ILogger
{
    public void Log<TState>(
        LogLevel logLevel, EventId eventId, TState state, Exception? exception, Func<TState, Exception?, string> formatter)
    {
        try
        {
            inner.Log(logLevel, eventId, state, exception, formatter);
        }
        catch (Exception)
        {
            // See above.
        }
    }

    public bool IsEnabled(LogLevel logLevel)
    {
        try
        {
            return inner.IsEnabled(logLevel);
        }
        catch (Exception)
        {
            return false;
        }
    }

    public IDisposable? BeginScope<TState>(TState state)
        where TState : notnull => null;
}
