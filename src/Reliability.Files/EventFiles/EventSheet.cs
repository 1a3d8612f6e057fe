using Reliability.Files.Sheets;

namespace Reliability.Files.EventFiles;

/// <summary>A sheet of events: one in each row, of any kind, with a column for each field that some kind has.</summary>
internal sealed class EventSheet : IEventFile
{
    private readonly CsvSheet _sheet;
    private readonly IRowReader _reader;

    /// <summary>Takes a sheet as one of events.</summary>
    /// <exception cref="FileUnusableException">The header does not fit.</exception>
    public EventSheet(CsvSheet sheet, FileDefaults defaults)
    {
        _sheet = sheet;
        _reader = new EventRowReader(defaults, new ContentIds());
        sheet.CheckColumns("a sheet of events", EventRowReader.NeededColumns, [.. EventRowReader.KnownColumns]);
        if (defaults.Source.Length == 0 && !sheet.Columns.Contains("source"))
            throw sheet.HeaderProblem("there is no column source; give one, or a source for the whole file (source; on the command line --source)");
    }

    /// <inheritdoc />
    public RefusalLayout Refusals => RefusalLayout.Sheet(_sheet.HeaderText);

    /// <inheritdoc />
    public IAsyncEnumerable<FileRow> RowsAsync(CancellationToken cancellation = default) =>
        _sheet.RowsAsync(cancellation).Select(_reader.Read);

    /// <inheritdoc />
    public ValueTask DisposeAsync() => _sheet.DisposeAsync();
}
