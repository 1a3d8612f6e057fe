using Reliability.Plots.Sheets;
using Xunit;

namespace Reliability.Plots.Tests.Sheets;

public sealed class SheetFontTests
{
    [Fact]
    public void Without_a_font_the_message_names_the_package()
    {
        using TemporaryFile empty = new("nothing.ttf");
        File.WriteAllText(empty.Path, "no font");
        PlotException failure = Assert.Throws<PlotException>(() =>
            SheetFont.Find([Path.GetDirectoryName(empty.Path)!, "no such folder"]));
        Assert.Contains("fonts-dejavu-core", failure.Message, StringComparison.Ordinal);
    }
}
