namespace Reliability.Cli.Posting;

/// <summary>What became of a file, as it is told to people and programs.</summary>
/// <param name="File">The file.</param>
/// <param name="Rows">Rows posted, or refused before.</param>
/// <param name="Recorded">Events recorded by this post.</param>
/// <param name="AlreadyThere">Events that were there already.</param>
/// <param name="Unresolved">Of both, those that do not count yet, by reason.</param>
/// <param name="Refused">Rows refused.</param>
/// <param name="Ignored">Rows that the mapping leaves out, by its reason.</param>
/// <param name="UnknownCodes">Codes that the mapping does not know, the most frequent first.</param>
/// <param name="InFuture">Events more than a day ahead of this machine's clock; they are among the others.</param>
/// <param name="RefusalFile">Where the refused rows are; null when there are none.</param>
/// <param name="Revision">The state of the record with the file in it; empty when nothing new was recorded at the end.</param>
internal sealed record PostReport(
    string File,
    long Rows,
    long Recorded,
    long AlreadyThere,
    IReadOnlyDictionary<string, long> Unresolved,
    long Refused,
    IReadOnlyDictionary<string, long> Ignored,
    IReadOnlyList<UnknownCodeCount> UnknownCodes,
    long InFuture,
    string? RefusalFile,
    string Revision);
