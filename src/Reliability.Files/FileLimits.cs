namespace Reliability.Files;

/// <summary>What a file may hold at most. Listed for users in docs/files.md and docs/errors.md.</summary>
public static class FileLimits
{
    /// <summary>The longest line, in bytes of UTF-8 without its end. A longer one is a rejected row.</summary>
    public const int MaxLineBytes = 1 << 20;

    /// <summary>The most columns of a sheet.</summary>
    public const int MaxColumns = 1_000;

    /// <summary>The most lines above the header of a sheet.</summary>
    public const int MaxLinesAbove = 1_000;

    /// <summary>The most rows without an id of their own: each is remembered until the file ends, at about 50 bytes.</summary>
    public const int MaxRowsWithoutId = 2_000_000;

    /// <summary>The largest mapping, in bytes.</summary>
    public const int MaxMappingBytes = 1 << 20;
}
