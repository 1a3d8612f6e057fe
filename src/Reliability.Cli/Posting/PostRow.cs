using Reliability.V1;

namespace Reliability.Cli.Posting;

/// <summary>A row of a file, read into an event where it can be.</summary>
/// <param name="Line">The line it begins on, counted from 1.</param>
/// <param name="Original">The row as it stands in the file.</param>
/// <param name="Event">The event; of no use when there are problems.</param>
/// <param name="Problems">Why the row cannot be posted; empty when it can.</param>
internal sealed record PostRow(long Line, string Original, ModuleEvent Event, IReadOnlyList<string> Problems);
