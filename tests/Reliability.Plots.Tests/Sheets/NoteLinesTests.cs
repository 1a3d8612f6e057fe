using Reliability.Plots.Sheets;
using Xunit;

namespace Reliability.Plots.Tests.Sheets;

public sealed class NoteLinesTests
{
    [Fact]
    public void Many_parameters_stand_in_lines_that_fit_each_with_its_bounds()
    {
        string[] parameters =
        [
            "shape-1 1.2345 (0.91234 to 1.6789)", "scale-1 812.34 (500.12 to 1,234.5)", "shape-2 3.4567 (2.1234 to 5.6789)",
            "scale-2 4,812.3 (4,500.1 to 5,234.5)", "fraction 0.31234 (0.21234 to 0.41234)",
        ];

        IReadOnlyList<string> lines = NoteLines.Wrapped([string.Join(", ", parameters)]);

        Assert.All(lines, line => Assert.InRange(line.Length, 1, 68));
        Assert.All(parameters, parameter => Assert.Single(lines, line => line.Contains(parameter, StringComparison.Ordinal)));
    }

    [Fact]
    public void Sentences_are_broken_between_words()
    {
        const string Note = "No life was watched below 800 h: the marks start from the fitted fraction failed by then, so they lie near the line.";

        IReadOnlyList<string> lines = NoteLines.Wrapped(["short", Note]);

        Assert.Equal("short", lines[0]);
        Assert.All(lines, line => Assert.InRange(line.Length, 1, 68));
        Assert.Equal(Note, string.Join(' ', lines.Skip(1).Select(line => line.Trim())));
    }
}
