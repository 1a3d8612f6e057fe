using Reliability.Cli.Files;
using Reliability.Files.EventFiles;

namespace Reliability.Cli.Posting;

/// <summary>A file that is to be posted, open for reading.</summary>
/// <param name="File">The file, checked as a whole.</param>
/// <param name="Events">Its rows.</param>
internal sealed record PostFile(TextFile File, IEventFile Events) : IAsyncDisposable
{
    /// <summary>Checks and opens a file.</summary>
    /// <exception cref="Terminals.UsageException">It cannot be read, or is no text.</exception>
    /// <exception cref="Reliability.Files.FileUnusableException">It is not a file in a form that can be posted.</exception>
    public static async Task<PostFile> OpenAsync(string path, string? form, FileDefaults defaults, CancellationToken cancellation)
    {
        TextFile file = TextFile.Check(path);
        return new PostFile(file, await FileForm.OpenAsync(file.Open(), path, form, defaults, mapping: null, cancellation).ConfigureAwait(false));
    }

    /// <inheritdoc />
    public ValueTask DisposeAsync() => Events.DisposeAsync();
}
