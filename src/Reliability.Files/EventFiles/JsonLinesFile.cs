using System.Runtime.CompilerServices;
using System.Text;
using System.Text.Json;
using Google.Protobuf;
using Reliability.Files.Json;
using Reliability.Files.Lines;
using Reliability.V1;

namespace Reliability.Files.EventFiles;

/// <summary>
/// A file with a ModuleEvent in protobuf's JSON on each line. A line of a file of refusals is taken for the row in it.
/// </summary>
internal sealed class JsonLinesFile(SourceLines lines, FileDefaults defaults) : IEventFile
{
    // A line with more wrong in it is not put right by telling of it all.
    private const int ProblemsTold = 20;

    private static readonly JsonParser Parser = new(JsonParser.Settings.Default);

    /// <inheritdoc />
    public RefusalLayout Refusals => RefusalLayout.JsonLines;

    /// <inheritdoc />
    public async IAsyncEnumerable<FileRow> RowsAsync([EnumeratorCancellation] CancellationToken cancellation = default)
    {
        bool any = false;
        while (await lines.NextAsync(cancellation).ConfigureAwait(false) is SourceLine line)
        {
            string text = Encoding.UTF8.GetString(line.Text.Span);
            if (string.IsNullOrWhiteSpace(text))
                continue;
            any = true;
            yield return line.Problem is string problem
                ? new FileRow(line.Number, text, [], [new FileProblem("", problem)])
                : Read(line.Number, text);
        }
        if (!any)
            throw new FileUnusableException(lines.File, new FileProblem("", "the file is empty."));
    }

    /// <inheritdoc />
    public ValueTask DisposeAsync() => lines.DisposeAsync();

    private FileRow Read(long line, string text)
    {
        string row = RefusalLayout.RowOf(text);
        List<FileProblem> problems = Check(row);
        ModuleEvent posted = new();
        if (problems.Count == 0)
        {
            try
            {
                posted = Parser.Parse<ModuleEvent>(row);
                defaults.Fill(posted);
            }
            catch (Exception failure) when (failure is InvalidProtocolBufferException or InvalidJsonException
                or FormatException or OverflowException or ArgumentException)
            {
                problems.Add(new FileProblem("", "is not an event in JSON"));
            }
        }
        return FileRow.Of(line, row, posted, problems);
    }

    /// <summary>What protobuf's parser would refuse without saying where, or take without a word.</summary>
    private static List<FileProblem> Check(string row)
    {
        List<FileProblem> problems = [];
        try
        {
            using JsonDocument document = JsonDocument.Parse(row);
            JsonBodyWalker walker = new(
                (field, rule) =>
                {
                    if (problems.Count < ProblemsTold)
                        problems.Add(new FileProblem(field, rule));
                },
                new FieldPath());
            walker.Message(document.RootElement, ModuleEvent.Descriptor);
        }
        catch (JsonException failure)
        {
            problems.Add(new FileProblem("", $"is not valid JSON: byte {failure.BytePositionInLine + 1} of the line"));
        }
        catch (InvalidOperationException)
        {
            // System.Text.Json reads strings late, and refuses what is not Unicode then.
            problems.Add(new FileProblem("", "holds text that is not valid Unicode"));
        }
        return problems;
    }
}
