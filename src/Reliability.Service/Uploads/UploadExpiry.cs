using Reliability.Store;

namespace Reliability.Service.Uploads;

/// <summary>Deletes uploads whose time is over, every hour: their rejected rows may hold notes and ids of people.</summary>
internal sealed partial class UploadExpiry(ReliabilityStore store, TimeProvider time, ILogger<UploadExpiry> logger) : BackgroundService
{
    private static readonly TimeSpan Interval = TimeSpan.FromHours(1);

    /// <summary>Deletes those whose time is over now.</summary>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public Task DeleteAsync(CancellationToken cancellation) =>
        store.Default.Uploads.DeleteExpiredAsync(time.GetUtcNow(), cancellation);

    /// <inheritdoc />
    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        using var timer = new PeriodicTimer(Interval, time);
        while (await timer.WaitForNextTickAsync(stoppingToken))
        {
            try
            {
                await DeleteAsync(stoppingToken);
            }
            catch (Exception exception) when (exception is not OperationCanceledException)
            {
                LogPutOff(exception);
            }
        }
    }

    [LoggerMessage(1, LogLevel.Warning, "Uploads whose time is over are deleted later: it did not go this time.")]
    private partial void LogPutOff(Exception exception);
}
