using System.Text;
using Reliability.Cli.Terminals;
using Reliability.Files.EventFiles;
using Reliability.Files.Lines;

namespace Reliability.Cli.Posting;

/// <summary>
/// The file of refusals beside a posted file. It is made with the first refusal; one of an earlier post is replaced, and
/// removed when nothing is refused any more.
/// </summary>
internal sealed class RefusalFile : IDisposable
{
    private readonly RefusalLayout _layout;
    private StreamWriter? _writer;

    /// <summary>Prepares the file.</summary>
    /// <param name="postedFile">The path of the file that is posted.</param>
    /// <param name="layout">How refusals of it are written.</param>
    public RefusalFile(string postedFile, RefusalLayout layout)
    {
        _layout = layout;
        Path = postedFile + ".refused" + layout.Extension;
        try
        {
            File.Delete(Path);
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException)
        {
            throw Unwritable(failure);
        }
    }

    /// <summary>Where it is.</summary>
    public string Path { get; }

    /// <summary>Writes a refused row.</summary>
    /// <param name="row">The row.</param>
    /// <param name="reason">Why it is refused.</param>
    /// <exception cref="UsageException">The file cannot be written.</exception>
    public void Add(FileRow row, string reason)
    {
        try
        {
            if (_writer is null)
            {
                _writer = new StreamWriter(Path, append: false, EncodingOf(_layout.Encoding)) { NewLine = "\n" };
                if (_layout.Heading is not null)
                    _writer.WriteLine(_layout.Heading);
            }
            _writer.WriteLine(_layout.Row(row.Line, reason, row.Original));
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException)
        {
            throw Unwritable(failure);
        }
    }

    /// <inheritdoc />
    public void Dispose() => _writer?.Dispose();

    private static Encoding EncodingOf(TextEncoding encoding) =>
        encoding == TextEncoding.Latin1 ? Encoding.Latin1 : new UTF8Encoding(encoderShouldEmitUTF8Identifier: false);

    private UsageException Unwritable(Exception failure) =>
        new($"{Path}: the file of refusals cannot be written ({failure.Message}).");
}
