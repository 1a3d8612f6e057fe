using Google.Protobuf;
using Reliability.Cli.Files;
using Reliability.V1;

namespace Reliability.Cli.Posting;

/// <summary>
/// A file with a ModuleEvent in protobuf's JSON on each line. A line of a file of refusals is taken for the row in it.
/// </summary>
internal sealed class JsonLinesFile(TextFile file, PostDefaults defaults) : IEventFile
{
    private static readonly JsonParser Parser = new(JsonParser.Settings.Default);

    private readonly StreamReader _reader = new(file.Path);

    /// <inheritdoc />
    public TextFile File => file;

    /// <inheritdoc />
    public RefusalLayout Refusals => RefusalLayout.JsonLines;

    /// <inheritdoc />
    public IEnumerable<PostRow> Rows()
    {
        long line = 0;
        while (_reader.ReadLine() is string text)
        {
            line++;
            if (!string.IsNullOrWhiteSpace(text))
                yield return Read(line, text);
        }
    }

    /// <inheritdoc />
    public void Dispose() => _reader.Dispose();

    private PostRow Read(long line, string text)
    {
        try
        {
            ModuleEvent posted = Parser.Parse<ModuleEvent>(RefusalLayout.RowOf(text));
            defaults.Fill(posted);
            return new PostRow(line, text, posted, []);
        }
        catch (Exception problem) when (problem is InvalidProtocolBufferException or InvalidJsonException)
        {
            return new PostRow(line, text, new ModuleEvent(), [$"not an event in JSON: {problem.Message}"]);
        }
        catch (Exception problem) when (problem is FormatException or OverflowException or ArgumentException)
        {
            return new PostRow(line, text, new ModuleEvent(), ["not an event in JSON"]);
        }
    }
}
