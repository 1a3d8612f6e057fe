using System.CommandLine;
using Reliability.Plots.Sheets;

namespace Reliability.Cli.Fits;

/// <summary>The option to draw the answer into a file.</summary>
internal sealed class PlotOption : Option<string?>
{
    /// <summary>The option.</summary>
    public PlotOption()
        : base("--plot") => Description = "Draw the answer into this file, .png or .svg.";

    /// <summary>The file, its extension checked before anything is asked; null for none.</summary>
    /// <exception cref="PlotException">The extension is not one that can be drawn.</exception>
    public string? Read(ParseResult parse)
    {
        string? file = parse.GetValue(this);
        if (file is not null)
            SheetFile.Check(file);
        return file;
    }
}
