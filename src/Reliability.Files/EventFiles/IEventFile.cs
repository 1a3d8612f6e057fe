namespace Reliability.Files.EventFiles;

/// <summary>A file of events in one of the forms that can be posted.</summary>
public interface IEventFile : IAsyncDisposable
{
    /// <summary>What refusals of its rows look like in a file.</summary>
    RefusalLayout Refusals { get; }

    /// <summary>Reads the rows, once, as they come.</summary>
    /// <param name="cancellation">Ends the reading.</param>
    IAsyncEnumerable<FileRow> RowsAsync(CancellationToken cancellation = default);
}
