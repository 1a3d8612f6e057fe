using Reliability.Cli.Files;

namespace Reliability.Cli.Posting;

/// <summary>A file of events in one of the forms that can be posted.</summary>
internal interface IEventFile : IDisposable
{
    /// <summary>The file.</summary>
    TextFile File { get; }

    /// <summary>What refusals of its rows look like in a file.</summary>
    RefusalLayout Refusals { get; }

    /// <summary>Reads the rows, once.</summary>
    IEnumerable<PostRow> Rows();
}
