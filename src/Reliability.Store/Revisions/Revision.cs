using System.Buffers.Text;
using System.Globalization;
using System.Text;

namespace Reliability.Store.Revisions;

/// <summary>
/// A state of an organisation's record: how far its log and its catalogue were taken in. Opaque to callers, who give
/// it back to read their own writes.
/// </summary>
/// <param name="Organisation">The organisation.</param>
/// <param name="Position">Position in the log, 0 before the first event.</param>
/// <param name="CatalogueVersion">Position in the log of the last change of the catalogue, 0 before the first.</param>
public readonly record struct Revision(string Organisation, long Position, long CatalogueVersion)
{
    private const string Form = "1"; // the first form of revisions; another one gets another mark

    /// <summary>The text given to callers: letters, digits, hyphen and underscore.</summary>
    public override string ToString() => Base64Url.EncodeToString(Encoding.UTF8.GetBytes(string.Create(
        CultureInfo.InvariantCulture, $"{Form}|{Position}|{CatalogueVersion}|{Organisation}")));

    /// <summary>Reads a revision back.</summary>
    /// <param name="text">The text that was given out.</param>
    /// <param name="revision">The revision; meaningless when the text is none.</param>
    public static bool TryParse(string text, out Revision revision)
    {
        revision = default;
        byte[] bytes;
        try
        {
            bytes = Base64Url.DecodeFromChars(text);
        }
        catch (FormatException)
        {
            return false;
        }
        var parts = Encoding.UTF8.GetString(bytes).Split('|', 4);
        if (parts.Length != 4 || parts[0] != Form || parts[3].Length == 0
            || !long.TryParse(parts[1], NumberStyles.None, CultureInfo.InvariantCulture, out var position)
            || !long.TryParse(parts[2], NumberStyles.None, CultureInfo.InvariantCulture, out var catalogue))
            return false;
        revision = new Revision(parts[3], position, catalogue);
        return true;
    }
}
