namespace Reliability.Store;

/// <summary>
/// The database cannot be reached, or kept failing in a passing way. Nothing is half-applied; the same call may be made
/// again.
/// </summary>
public sealed class StoreUnavailableException : Exception
{
    /// <summary>Makes the exception with its cause.</summary>
    public StoreUnavailableException(Exception innerException)
        : base("The database does not answer just now. Try again.", innerException) =>
        StorageFull = Failure.IsStorageFull(innerException);

    /// <summary>Makes the exception with a message.</summary>
    public StoreUnavailableException(string message)
        : base(message)
    {
    }

    /// <summary>Makes the exception with a message and its cause.</summary>
    public StoreUnavailableException(string message, Exception innerException)
        : base(message, innerException)
    {
    }

    /// <summary>Whether the database had no space left to write. It takes posts again once there is some.</summary>
    public bool StorageFull { get; }
}
