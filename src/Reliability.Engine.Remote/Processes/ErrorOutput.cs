using System.Text.RegularExpressions;
using Microsoft.Extensions.Logging;

namespace Reliability.Engine.Remote.Processes;

/// <summary>
/// What a plug-in writes to its standard error or output: its first lines go into the log, shortened and with numbers that could be data
/// masked; of the rest only how much it was.
/// </summary>
/// <param name="plugIn">Id of the plug-in.</param>
/// <param name="logger">Where it is told.</param>
internal sealed partial class ErrorOutput(string plugIn, ILogger logger)
{
    private const int MostLines = 40, LongestLine = 200, ChunkSize = 4096;

    private int _lines;
    private long _characters;

    /// <summary>Characters written so far.</summary>
    public long Characters => Interlocked.Read(ref _characters);

    /// <summary>Reads to the end, so that the plug-in is never held up by a full pipe.</summary>
    /// <param name="reader">The pipe.</param>
    public async Task DrainAsync(StreamReader reader)
    {
        var chunk = new char[ChunkSize];
        var line = new System.Text.StringBuilder(LongestLine);
        try
        {
            for (int read; (read = await reader.ReadAsync(chunk).ConfigureAwait(false)) > 0;)
            {
                Interlocked.Add(ref _characters, read);
                if (Volatile.Read(ref _lines) < MostLines)
                    Tell(chunk.AsSpan(0, read), line);
            }
        }
        catch (IOException)
        {
            // The process ended in the middle of it.
        }
        catch (ObjectDisposedException)
        {
            // Let go of.
        }
    }

    /// <summary>A line fit for the log.</summary>
    public static string Masked(string line) => Data().Replace(line, "#");

    private void Tell(ReadOnlySpan<char> text, System.Text.StringBuilder line)
    {
        foreach (var c in text)
        {
            if (c != '\n')
            {
                if (line.Length < LongestLine && !char.IsControl(c))
                    line.Append(c);
                continue;
            }

            if (line.Length > 0 && Interlocked.Increment(ref _lines) is var n && n <= MostLines)
                LogLine(logger, plugIn, Masked(line.ToString()), n == MostLines ? " (no further lines are logged)" : "");
            line.Clear();
        }
    }

    // Hours and estimates have decimals, an exponent or four digits; line numbers and codes have not.
    [GeneratedRegex(@"[0-9]*\.[0-9]+(?:[eE][+-]?[0-9]+)?|[0-9]+[eE][+-]?[0-9]+|[0-9]{4,}", RegexOptions.CultureInvariant)]
    private static partial Regex Data();

    [LoggerMessage(1, LogLevel.Information, "Plug-in {PlugIn} wrote: {Line}{More}")]
    private static partial void LogLine(ILogger logger, string plugIn, string line, string more);
}
