using System.Globalization;
using System.Xml.Linq;

namespace Reliability.Plots.Tests.Sheets;

/// <summary>Reads the text of an SVG file with the place where it stands.</summary>
internal static class Svg
{
    public static IReadOnlyList<(string Text, double X, double Y)> Texts(string file)
    {
        XDocument document = XDocument.Load(file);
        return [.. document.Descendants().Where(e => e.Name.LocalName == "text").Select(e => (e.Value.Trim(), First(e, "x"), First(e, "y")))];
    }

    // Text is placed glyph by glyph, and turned and shifted by the transforms around it; ticks are only shifted.
    private static double First(XElement element, string axis)
    {
        double place = Number(element.Attribute(axis)?.Value ?? "0");
        foreach (XElement around in element.AncestorsAndSelf())
        {
            string transform = around.Attribute("transform")?.Value ?? "";
            if (transform.StartsWith("translate(", StringComparison.Ordinal))
            {
                string[] shifts = transform["translate(".Length..].TrimEnd(')').Split([' ', ','], StringSplitOptions.RemoveEmptyEntries);
                place += axis == "x" ? Number(shifts[0]) : shifts.Length > 1 ? Number(shifts[1]) : 0;
            }
        }
        return place;
    }

    private static double Number(string list) =>
        double.Parse(list.Split([' ', ','], StringSplitOptions.RemoveEmptyEntries)[0], CultureInfo.InvariantCulture);
}
