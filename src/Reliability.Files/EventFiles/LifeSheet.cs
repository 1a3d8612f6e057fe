using Reliability.Files.Sheets;

namespace Reliability.Files.EventFiles;

/// <summary>The plain sheet: a whole life in each row.</summary>
internal sealed class LifeSheet : IEventFile
{
    private readonly CsvSheet _sheet;
    private readonly IRowReader _reader;

    /// <summary>Takes a sheet as one of lives.</summary>
    /// <exception cref="FileUnusableException">The header does not fit.</exception>
    public LifeSheet(CsvSheet sheet, FileDefaults defaults)
    {
        _sheet = sheet;
        _reader = new LifeRowReader(defaults, new ContentIds());
        sheet.CheckColumns("a sheet of lives", LifeRowReader.NeededColumns, LifeRowReader.KnownColumns);
        if (!sheet.Columns.Contains("serial_number") && !sheet.Columns.Contains("asset_number"))
            throw sheet.HeaderProblem("a sheet of lives needs the column serial_number or asset_number");
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
