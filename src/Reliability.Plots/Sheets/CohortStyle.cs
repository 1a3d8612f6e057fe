using ScottPlot;

namespace Reliability.Plots.Sheets;

/// <summary>
/// How a cohort is told from the others: by colour, line pattern and marker shape, each enough by itself, so that
/// sheets can be read in grey and with any kind of colour vision.
/// </summary>
/// <param name="Color">Its colour.</param>
/// <param name="Line">The pattern of its line.</param>
/// <param name="Marker">The shape of its points.</param>
internal sealed record CohortStyle(Color Color, LinePattern Line, MarkerShape Marker)
{
    private static readonly CohortStyle[] Styles =
    [
        new(Color.FromHex("#14527E"), LinePattern.Solid, MarkerShape.FilledCircle),
        new(Color.FromHex("#C4581B"), Pattern("dashed", 10, 5), MarkerShape.OpenSquare),
        new(Color.FromHex("#34B7B2"), Pattern("dash dot", 11, 4, 2.5f, 4), MarkerShape.FilledTriangleUp),
        new(Color.FromHex("#543124"), Pattern("dotted", 2.5f, 3.5f), MarkerShape.OpenDiamond),
        new(Color.FromHex("#9A5DE0"), Pattern("long dash", 20, 6), MarkerShape.Cross),
    ];

    /// <summary>How many cohorts can be told apart on one sheet.</summary>
    public static int Count => Styles.Length;

    /// <summary>The style of the cohort with this number, counted from 0.</summary>
    /// <exception cref="PlotException">There are more cohorts than can be told apart.</exception>
    public static CohortStyle Of(int number) => number < Styles.Length
        ? Styles[number]
        : throw new PlotException($"A sheet holds at most {Styles.Length} cohorts.");

    private static LinePattern Pattern(string name, params float[] intervals) => new(intervals, 0, name);
}
