namespace Reliability.Service.Uploads;

/// <summary>What an upload may be at most; docs/errors.md lists it for callers.</summary>
internal static class UploadLimits
{
    /// <summary>Bytes of a file, where the settings say nothing else.</summary>
    public const long MaxFileBytes = 1L << 30;

    /// <summary>How long a sender may send nothing of its file, where the settings say nothing else.</summary>
    public static readonly TimeSpan MaxPause = TimeSpan.FromSeconds(60);

    /// <summary>Uploads at once; what more come are told to try again.</summary>
    public const int MaxAtOnce = 4;

    /// <summary>Events of a file that is only checked: each is remembered until the end, at about 60 bytes.</summary>
    public const int MaxCheckedEvents = 2_000_000;

    /// <summary>Rejected rows that an upload keeps, and how many its answer shows.</summary>
    public const int MaxKeptRows = 100_000, ShownRows = 100;

    /// <summary>Characters of a rejected row that are kept.</summary>
    public const int MaxKeptRowLength = 20_000;

    /// <summary>Codes unknown to a mapping that an answer lists.</summary>
    public const int ShownCodes = 100;

    /// <summary>How long an upload and its rejected rows are kept.</summary>
    public static readonly TimeSpan Kept = TimeSpan.FromDays(30);
}
