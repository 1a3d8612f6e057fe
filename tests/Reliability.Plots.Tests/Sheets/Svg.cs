using System.Globalization;
using System.Xml.Linq;

namespace Reliability.Plots.Tests.Sheets;

/// <summary>Reads the text of an SVG file with the place where it stands.</summary>
internal static class Svg
{
    public static IReadOnlyList<(string Text, double X, double Y)> Texts(string file)
    {
        XDocument document = XDocument.Load(file);
        return [.. document.Descendants().Where(e => e.Name.LocalName == "text").Select(e => (e.Value.Trim(), Anchor(e, 0), Anchor(e, 1)))];
    }

    // A label is shifted to its anchor, and its glyphs are placed about that; of a turned label the anchor is not read.
    private static double Anchor(XElement element, int axis)
    {
        string transform = element.Attribute("transform")?.Value ?? "";
        if (!transform.StartsWith("translate(", StringComparison.Ordinal))
            return double.NaN;
        string[] shifts = transform["translate(".Length..].TrimEnd(')').Split([' ', ','], StringSplitOptions.RemoveEmptyEntries);
        return double.Parse(shifts[axis], CultureInfo.InvariantCulture);
    }
}
