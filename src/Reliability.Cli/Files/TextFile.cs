using System.Text.Unicode;
using Reliability.Cli.Terminals;
using Reliability.Files.Lines;

namespace Reliability.Cli.Files;

/// <summary>A file of text, checked as a whole before any of it is used.</summary>
/// <param name="Path">Where it is.</param>
/// <param name="LineCount">How many lines it has.</param>
internal sealed record TextFile(string Path, long LineCount)
{
    private const int BlockSize = 1 << 16;

    /// <summary>Checks that a file is there, has content and is text.</summary>
    /// <param name="path">The file.</param>
    /// <param name="encoding">How its text has to be stored. In ISO 8859-1 every byte stands for a character.</param>
    /// <exception cref="UsageException">It is missing, unreadable, empty, or not such text.</exception>
    public static TextFile Check(string path, TextEncoding encoding = TextEncoding.Utf8)
    {
        try
        {
            using FileStream stream = new(path, FileMode.Open, FileAccess.Read, FileShare.Read, BlockSize, FileOptions.SequentialScan);
            return new TextFile(path, CountLines(stream, path, encoding));
        }
        catch (Exception failure) when (failure is FileNotFoundException or DirectoryNotFoundException)
        {
            throw new UsageException($"{path}: there is no such file.");
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException)
        {
            throw new UsageException($"{path}: the file cannot be read ({failure.Message}).");
        }
    }

    /// <summary>Opens the file for reading from its beginning.</summary>
    public FileStream Open() => new(Path, FileMode.Open, FileAccess.Read, FileShare.Read, BlockSize, FileOptions.SequentialScan);

    private static long CountLines(FileStream stream, string path, TextEncoding encoding)
    {
        byte[] block = new byte[BlockSize];
        long lines = 1;
        bool first = true;
        bool content = false;
        int kept = 0;
        while (true)
        {
            int read = stream.ReadAtLeast(block.AsSpan(kept), 1, throwOnEndOfStream: false);
            if (read == 0 && kept == 0)
                break;
            Span<byte> filled = block.AsSpan(0, kept + read);
            if (first && (filled.StartsWith<byte>([0xFF, 0xFE]) || filled.StartsWith<byte>([0xFE, 0xFF])))
                throw new UsageException($"{path}: the file is UTF-16. Save it as UTF-8.");
            first = false;
            // A character may be cut by the end of the block: what is kept of it is looked at with the next block.
            int whole = read == 0 ? filled.Length : WholeCharacters(filled);
            Span<byte> checkedPart = filled[..whole];
            if (checkedPart.Contains((byte)0))
                throw new UsageException($"{path}: line {lines + checkedPart[..checkedPart.IndexOf((byte)0)].Count((byte)'\n')}: the file is binary, not text.");
            int valid = encoding == TextEncoding.Latin1 || Utf8.IsValid(checkedPart) ? whole : FirstInvalid(checkedPart);
            if (valid < whole)
                throw new UsageException($"{path}: line {lines + checkedPart[..valid].Count((byte)'\n')}: the text is not UTF-8. Save it as UTF-8.");
            content = content || checkedPart.ContainsAnyExcept(" \t\r\n\uFEFF"u8);
            lines += checkedPart.Count((byte)'\n');
            filled[whole..].CopyTo(block);
            kept = filled.Length - whole;
            if (read == 0)
                break;
        }
        return content ? lines : throw new UsageException($"{path}: the file is empty.");
    }

    private static int WholeCharacters(ReadOnlySpan<byte> bytes)
    {
        for (int back = 1; back <= Math.Min(3, bytes.Length); back++)
        {
            byte lead = bytes[^back];
            if (lead < 0x80)
                break;
            if (lead >= 0xC0)
            {
                int length = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : 2;
                return length > back ? bytes.Length - back : bytes.Length;
            }
        }
        return bytes.Length;
    }

    private static int FirstInvalid(ReadOnlySpan<byte> bytes)
    {
        int position = 0;
        while (position < bytes.Length
            && System.Text.Rune.DecodeFromUtf8(bytes[position..], out _, out int consumed) == System.Buffers.OperationStatus.Done)
        {
            position += consumed;
        }
        return position;
    }
}
