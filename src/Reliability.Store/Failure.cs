using System.Net.Sockets;
using JasperFx.Events;
using Npgsql;

namespace Reliability.Store;

/// <summary>Tells failures of the database that pass by themselves from those that do not.</summary>
internal static class Failure
{
    private const string IdleInTransactionTimeout = "25P03";

    /// <summary>
    /// Whether the same work may succeed when done again: a connection lost, a server starting or stopping, a deadlock,
    /// a conflict between transactions, a key written by another transaction first.
    /// </summary>
    public static bool IsPassing(Exception exception)
    {
        for (var inner = exception; inner is not null; inner = inner.InnerException)
        {
            switch (inner)
            {
                case PostgresException postgres:
                    return postgres.IsTransient
                        || postgres.SqlState is PostgresErrorCodes.UniqueViolation
                            or PostgresErrorCodes.AdminShutdown
                            or PostgresErrorCodes.CrashShutdown
                            or PostgresErrorCodes.CannotConnectNow
                            or IdleInTransactionTimeout;
                case EventStreamUnexpectedMaxEventIdException:
                    // Another transaction appended to the same stream first.
                    return true;
                case NpgsqlException { IsTransient: true } or SocketException or EndOfStreamException:
                    return true;
                case NpgsqlException { InnerException: null }:
                    // Npgsql calls a connection that broke while idle an exception of no further kind.
                    return true;
            }
        }
        return false;
    }

    /// <summary>Whether the database had no space left to write: it passes, but not within the time a caller waits.</summary>
    public static bool IsStorageFull(Exception exception)
    {
        for (var inner = exception; inner is not null; inner = inner.InnerException)
            if (inner is PostgresException { SqlState: PostgresErrorCodes.DiskFull }) return true;
        return false;
    }

    /// <summary>Does the work; a passing failure becomes <see cref="StoreUnavailableException"/>.</summary>
    public static async Task<T> Translated<T>(Func<Task<T>> work)
    {
        try
        {
            return await work();
        }
        catch (Exception exception) when (IsPassing(exception))
        {
            throw new StoreUnavailableException(exception);
        }
    }
}
