using Reliability.Cli.Files;
using Reliability.Cli.Terminals;
using Reliability.Files;
using Reliability.Files.EventFiles;
using Reliability.Files.Lines;
using Reliability.Files.Mappings;

namespace Reliability.Cli.Posting;

/// <summary>A file that is to be posted, open for reading.</summary>
/// <param name="File">The file, checked as a whole.</param>
/// <param name="Events">Its rows.</param>
internal sealed record PostFile(TextFile File, IEventFile Events) : IAsyncDisposable
{
    /// <summary>Checks and opens a file.</summary>
    /// <exception cref="UsageException">It cannot be read, or is no text.</exception>
    /// <exception cref="FileUnusableException">It is not a file in a form that can be posted, or the mapping does not fit it.</exception>
    public static async Task<PostFile> OpenAsync(
        string path, string? form, FileDefaults defaults, Mapping? mapping, CancellationToken cancellation)
    {
        TextFile file = TextFile.Check(path, mapping?.Encoding ?? TextEncoding.Utf8);
        return new PostFile(file, await FileForm.OpenAsync(file.Open(), path, form, defaults, mapping, cancellation).ConfigureAwait(false));
    }

    /// <summary>Reads a mapping.</summary>
    /// <exception cref="UsageException">The file cannot be read.</exception>
    /// <exception cref="FileUnusableException">The mapping is wrong.</exception>
    public static async Task<Mapping> ReadMappingAsync(string path, CancellationToken cancellation)
    {
        FileStream stream = TextFile.Check(path).Open();
        await using (stream.ConfigureAwait(false))
        {
            // One byte more than is allowed, so that the reader sees that it is too long.
            byte[] content = new byte[Math.Min(stream.Length, FileLimits.MaxMappingBytes + 1)];
            await stream.ReadExactlyAsync(content, cancellation).ConfigureAwait(false);
            return Mapping.Read(content, path);
        }
    }

    /// <inheritdoc />
    public ValueTask DisposeAsync() => Events.DisposeAsync();
}
