namespace Reliability.Plots.Sheets;

/// <summary>Keeps the box of notes in the upper left corner on the sheet and off what is drawn.</summary>
internal static class NoteLines
{
    private const int MostLetters = 64;
    private const double LetterWidth = 8.2;
    private const double LineHeight = 20;
    private const double Border = 28;

    /// <summary>The notes in lines that fit on a sheet, broken between words; what goes on is set in.</summary>
    public static IReadOnlyList<string> Wrapped(IEnumerable<string> notes)
    {
        List<string> lines = [];
        foreach (string note in notes)
        {
            // A parameter stays on one line with its bounds, where that is possible.
            string[] parts = note.Length <= MostLetters ? [note] : [.. Pieces(note)];
            string line = "";
            foreach (string part in parts)
            {
                if (line.Trim().Length > 0 && line.Length + 1 + part.Length > MostLetters)
                {
                    lines.Add(line);
                    line = "  ";
                }
                line = line.Trim().Length == 0 ? line + part : $"{line} {part}";
            }
            lines.Add(line);
        }
        return lines;
    }

    /// <summary>The range of the vertical axis, higher where the box would lie on what is drawn.</summary>
    /// <param name="lines">The lines of the box.</param>
    /// <param name="horizontal">The horizontal axis.</param>
    /// <param name="vertical">The vertical axis without room for the box.</param>
    /// <param name="drawn">What is drawn.</param>
    public static AxisRange RoomAbove(
        IReadOnlyList<string> lines, AxisRange horizontal, AxisRange vertical, IReadOnlyCollection<(double X, double Y)> drawn)
    {
        if (lines.Count == 0)
            return vertical;
        double right = horizontal.From + horizontal.Length * Math.Min((lines.Max(line => line.Length) * LetterWidth + Border) / Sheet.PlotWidth, 1);
        double height = Math.Min((lines.Count * LineHeight + Border) / Sheet.PlotHeight, 0.5);
        double highest = drawn.Where(place => place.X <= right && vertical.Holds(place.Y)).Select(place => place.Y)
            .DefaultIfEmpty(vertical.From).Max();
        // The box takes the same part of the sheet whatever the axis: what is highest beside it comes to lie at its lower edge.
        double needed = vertical.From + (highest - vertical.From) / (1 - height);
        return new AxisRange(vertical.From, Math.Max(vertical.To, needed));
    }

    private static IEnumerable<string> Pieces(string note)
    {
        string[] parameters = note.Split(", ");
        if (parameters.Length > 1 && parameters.All(part => part.Length <= MostLetters))
            return parameters.Select((part, i) => i < parameters.Length - 1 ? part + "," : part);
        return note.Split(' ');
    }
}
