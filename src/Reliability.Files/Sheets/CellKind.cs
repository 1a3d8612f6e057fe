namespace Reliability.Files.Sheets;

/// <summary>What a cell holds. It decides how a mapping turns another system's spelling into ours.</summary>
internal enum CellKind
{
    /// <summary>Text as it stands, a word of a list, yes or no.</summary>
    Text,

    /// <summary>A number.</summary>
    Number,

    /// <summary>A day or a time.</summary>
    Time,
}
