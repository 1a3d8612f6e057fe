using Reliability.Files.Sheets;

namespace Reliability.Files.EventFiles;

/// <summary>Reads a row in our own columns.</summary>
internal interface IRowReader
{
    /// <summary>Reads a row.</summary>
    FileRow Read(CsvRow row) => Read(row, new RowFields(row));

    /// <summary>Reads a row through fields, which tell afterwards what was asked for.</summary>
    FileRow Read(CsvRow row, RowFields fields);
}
