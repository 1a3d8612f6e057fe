using Reliability.Files.Lines;

namespace Reliability.Files.Mappings;

/// <summary>
/// How to read another system's sheets: its column names, codes, numbers and times in terms of ours. docs/files.md
/// describes the file that says it.
/// </summary>
public sealed class Mapping
{
    internal Mapping(
        string name, char delimiter, TextEncoding encoding, CellFormats formats, IReadOnlyDictionary<string, string> constants,
        IReadOnlyList<RowRule> rows)
    {
        Name = name;
        Delimiter = delimiter;
        Encoding = encoding;
        Formats = formats;
        Constants = constants;
        Rows = rows;
    }

    /// <summary>What its user calls it.</summary>
    public string Name { get; }

    /// <summary>How the text of the sheets is stored.</summary>
    public TextEncoding Encoding { get; }

    /// <summary>What sets values apart.</summary>
    internal char Delimiter { get; }

    /// <summary>How numbers and times are written.</summary>
    internal CellFormats Formats { get; }

    /// <summary>Values of our fields that hold for all rows.</summary>
    internal IReadOnlyDictionary<string, string> Constants { get; }

    /// <summary>The rules, in the order in which they are tried.</summary>
    internal IReadOnlyList<RowRule> Rows { get; }

    /// <summary>Reads a mapping.</summary>
    /// <param name="json">The file's content.</param>
    /// <param name="name">What its user calls it.</param>
    /// <exception cref="FileUnusableException">It is wrong; all that is wrong is told, with its place in the JSON.</exception>
    public static Mapping Read(ReadOnlyMemory<byte> json, string name) => MappingReader.Read(json, name);
}
