using ScottPlot;

namespace Reliability.Plots.Sheets;

/// <summary>
/// How a cohort is told from the others: by colour, line pattern and marker shape, each enough by itself, so that
/// sheets can be read in grey and with any kind of colour vision.
/// </summary>
/// <param name="Color">Its colour.</param>
/// <param name="Pattern">The pattern of its line.</param>
/// <param name="Marker">The shape of its points.</param>
internal sealed record CohortStyle(Color Color, LinePattern Pattern, MarkerShape Marker)
{
    private static readonly CohortStyle[] Styles =
    [
        new(Color.FromHex("#14527E"), LinePattern.Solid, MarkerShape.FilledCircle),
        new(Color.FromHex("#C4581B"), LinePattern.Dashed, MarkerShape.OpenSquare),
        new(Color.FromHex("#3FA796"), LinePattern.DenselyDashed, MarkerShape.FilledTriangleUp),
        new(Color.FromHex("#5B2A56"), LinePattern.Dotted, MarkerShape.OpenDiamond),
        new(Color.FromHex("#D9A514"), LinePattern.Solid, MarkerShape.Cross),
    ];

    /// <summary>How many cohorts can be told apart on one sheet.</summary>
    public static int Count => Styles.Length;

    /// <summary>The style of the cohort with this number, counted from 0.</summary>
    /// <exception cref="PlotException">There are more cohorts than can be told apart.</exception>
    public static CohortStyle Of(int number) => number < Styles.Length
        ? Styles[number]
        : throw new PlotException($"A sheet holds at most {Styles.Length} cohorts.");
}
