namespace Reliability.Files.Lines;

/// <summary>How the text of a file is stored.</summary>
public enum TextEncoding
{
    /// <summary>UTF-8, with a byte order mark or without.</summary>
    Utf8,

    /// <summary>ISO 8859-1: a byte a character.</summary>
    Latin1,
}
