namespace Reliability.Store;

/// <summary>
/// The private PostgreSQL cannot be started. The message says what is wrong and what cures it, in words meant for the
/// person who starts the service.
/// </summary>
public sealed class PrivateClusterException : Exception
{
    /// <summary>Makes the exception with a message for the person who starts the service.</summary>
    public PrivateClusterException(string message)
        : base(message)
    {
    }

    /// <summary>Makes the exception with a message and its cause.</summary>
    public PrivateClusterException(string message, Exception innerException)
        : base(message, innerException)
    {
    }
}
