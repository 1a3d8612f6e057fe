using Reliability.Files.Mappings;
using Reliability.V1;

namespace Reliability.Files.EventFiles;

/// <summary>A row of a file, read into events where it can be.</summary>
/// <param name="Line">The line it begins on, counted from 1.</param>
/// <param name="Original">The row as it stands in the file.</param>
/// <param name="Events">
/// What it says: one event, or with a mapping several, which belong together. Empty when there are problems or the row is
/// ignored.
/// </param>
/// <param name="Problems">Why the row cannot be posted; empty when it can.</param>
/// <param name="Ignored">Why the mapping leaves the row out; null when it does not.</param>
/// <param name="Columns">For each event the columns that it came from; null without a mapping, where they are named as the fields are.</param>
public sealed record FileRow(
    long Line, string Original, IReadOnlyList<ModuleEvent> Events, IReadOnlyList<FileProblem> Problems, string? Ignored = null,
    IReadOnlyList<ColumnNames>? Columns = null)
{
    /// <summary>A field of one of the events, as whoever has the file knows it: with the columns it came from.</summary>
    /// <param name="index">Which of <see cref="Events"/>.</param>
    /// <param name="path">The field within the event.</param>
    public string FieldName(int index, string path) => Columns is null ? path : Columns[index].Named(path, Events[index]);

    /// <summary>A row that says one event, or has problems.</summary>
    internal static FileRow Of(long line, string original, ModuleEvent said, IReadOnlyList<FileProblem> problems) =>
        new(line, original, problems.Count == 0 ? [said] : [], problems);
}
