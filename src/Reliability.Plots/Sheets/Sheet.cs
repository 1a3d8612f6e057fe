using ScottPlot;
using ScottPlot.TickGenerators;

namespace Reliability.Plots.Sheets;

/// <summary>A sheet of a size, with title, axes and legend; what all plots share.</summary>
internal sealed class Sheet : IDisposable
{
    /// <summary>Width in pixels.</summary>
    public const int Width = 1100;

    /// <summary>Height in pixels.</summary>
    public const int Height = 760;

    /// <summary>About the width of the drawing between its axes, in pixels.</summary>
    public const double PlotWidth = Width - 110;

    /// <summary>About the height of the drawing between its axes, in pixels.</summary>
    public const double PlotHeight = Height - 120;

    /// <summary>Least room for a label of the vertical axis, as a part of the axis' length.</summary>
    public const double VerticalRoom = 20.0 / PlotHeight;

    /// <summary>Least room for a label of the horizontal axis, as a part of the axis' length.</summary>
    public const double HorizontalRoom = 62.0 / PlotWidth;

    private static readonly Color Ink = Color.FromHex("#22282E");
    private static readonly Color GridInk = Color.FromHex("#D8DEE3");

    /// <summary>Begins a sheet.</summary>
    /// <exception cref="PlotException">The machine has no usable font.</exception>
    public Sheet(string title, string horizontal, string vertical)
    {
        string font = SheetFont.Register();
        Plot = new Plot();
        Plot.Font.Set(font);
        Plot.Title(title, 20);
        Plot.Axes.Title.Label.Bold = false;
        Plot.XLabel(horizontal, 17);
        Plot.YLabel(vertical, 17);
        Plot.Axes.Bottom.Label.Bold = false;
        Plot.Axes.Left.Label.Bold = false;
        Plot.Axes.Left.Label.OffsetX = 12;
        Plot.Axes.Color(Ink);
        Plot.Axes.Bottom.TickLabelStyle.FontSize = 15;
        Plot.Axes.Left.TickLabelStyle.FontSize = 15;
        Plot.Axes.Left.MinimumSize = 78;
        Plot.Axes.Left.MaximumSize = 78;
        Plot.Axes.Right.MinimumSize = 28;
        Plot.Grid.MajorLineColor = GridInk;
        Plot.Grid.MajorLineWidth = 1;
    }

    /// <summary>The drawing itself.</summary>
    public Plot Plot { get; }

    /// <summary>Sets the limits and the labels of both axes.</summary>
    public void SetAxes(AxisRange horizontal, IEnumerable<AxisLabel> horizontalLabels, AxisRange vertical, IEnumerable<AxisLabel> verticalLabels)
    {
        Plot.Axes.SetLimits(horizontal.From, horizontal.To, vertical.From, vertical.To);
        Plot.Axes.Bottom.TickGenerator = Ticks(horizontalLabels);
        Plot.Axes.Left.TickGenerator = Ticks(verticalLabels);
    }

    /// <summary>Writes lines into a corner of the drawing.</summary>
    public void Note(IReadOnlyList<string> lines, Alignment corner)
    {
        if (lines.Count == 0)
            return;
        ScottPlot.Plottables.Annotation note = Plot.Add.Annotation(string.Join('\n', lines), corner);
        note.LabelFontSize = 14;
        note.LabelFontColor = Ink;
        note.LabelBackgroundColor = Colors.White.WithAlpha(.85);
        note.LabelBorderColor = GridInk;
        note.LabelShadowColor = Colors.Transparent;
        note.LabelPadding = 8;
        note.OffsetX = 12;
        note.OffsetY = 12;
    }

    /// <summary>Shows the legend in a corner.</summary>
    public void ShowLegend(Alignment corner)
    {
        Plot.ShowLegend(corner);
        Plot.Legend.FontSize = 14;
        Plot.Legend.FontColor = Ink;
        Plot.Legend.OutlineColor = GridInk;
        Plot.Legend.ShadowColor = Colors.Transparent;
        Plot.Legend.SymbolWidth = 40;
        Plot.Legend.Margin = new PixelPadding(12);
    }

    /// <summary>Saves the sheet as the file's extension says.</summary>
    /// <param name="file">Path ending in .png or .svg.</param>
    /// <exception cref="PlotException">Another extension, or the file cannot be written.</exception>
    public void Save(string file)
    {
        SheetFile.Check(file);
        try
        {
            if (SheetFile.IsVector(file))
                File.WriteAllText(file, Plot.GetSvgXml(Width, Height));
            else
                File.WriteAllBytes(file, Plot.GetImageBytes(Width, Height, ImageFormat.Png));
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException)
        {
            throw new PlotException($"The plot cannot be written to {file}: {failure.Message}", failure);
        }
    }

    /// <inheritdoc />
    public void Dispose() => Plot.Dispose();

    private static NumericManual Ticks(IEnumerable<AxisLabel> labels)
    {
        NumericManual ticks = new();
        foreach (AxisLabel label in labels)
            ticks.AddMajor(label.Position, label.Text);
        return ticks;
    }
}
