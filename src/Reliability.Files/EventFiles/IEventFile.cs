using Reliability.Files.Mappings;

namespace Reliability.Files.EventFiles;

/// <summary>A file of events in one of the forms that can be posted.</summary>
public interface IEventFile : IAsyncDisposable
{
    /// <summary>What refusals of its rows look like in a file.</summary>
    RefusalLayout Refusals { get; }

    /// <summary>What a mapping left out or did not know, as far as rows are read; null where none is used.</summary>
    MappingTally? Mapping => null;

    /// <summary>Reads the rows, once, as they come.</summary>
    /// <param name="cancellation">Ends the reading.</param>
    IAsyncEnumerable<FileRow> RowsAsync(CancellationToken cancellation = default);
}
