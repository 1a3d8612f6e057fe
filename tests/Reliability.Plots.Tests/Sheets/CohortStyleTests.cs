using Reliability.Plots.Sheets;
using ScottPlot;
using Xunit;

namespace Reliability.Plots.Tests.Sheets;

public sealed class CohortStyleTests
{
    // Full dichromacy after Machado, Oliveira and Fernandes (2009), in linear RGB; the matrices are from memory.
    private static readonly Dictionary<string, double[,]> Vision = new()
    {
        ["ordinary"] = new double[,] { { 1, 0, 0 }, { 0, 1, 0 }, { 0, 0, 1 } },
        ["protanopia"] = new double[,]
        {
            { 0.152286, 1.052583, -0.204868 }, { 0.114503, 0.786281, 0.099216 }, { -0.003882, -0.048116, 1.051998 },
        },
        ["deuteranopia"] = new double[,]
        {
            { 0.367322, 0.860646, -0.227968 }, { 0.280085, 0.672501, 0.047413 }, { -0.011820, 0.042940, 0.968881 },
        },
        ["tritanopia"] = new double[,]
        {
            { 1.255528, -0.076749, -0.178779 }, { -0.078411, 0.930809, 0.147602 }, { 0.004733, 0.691367, 0.303900 },
        },
    };

    [Theory]
    [InlineData("ordinary")]
    [InlineData("protanopia")]
    [InlineData("deuteranopia")]
    [InlineData("tritanopia")]
    public void Colours_differ_for_every_kind_of_colour_vision(string vision)
    {
        double[][] colors = [.. Enumerable.Range(0, CohortStyle.Count).Select(i => Lab(CohortStyle.Of(i).Color, Vision[vision]))];
        for (int i = 0; i < colors.Length; i++)
        {
            for (int j = 0; j < i; j++)
            {
                // CIE 1976 difference: 2.3 is just noticeable; lines need far more.
                double difference = Math.Sqrt(colors[i].Zip(colors[j], (a, b) => (a - b) * (a - b)).Sum());
                Assert.True(difference > 30, $"{vision}: cohorts {j} and {i} differ by {difference:F1}");
            }
        }
    }

    [Fact]
    public void Marker_and_line_pattern_together_differ_without_any_colour()
    {
        CohortStyle[] styles = [.. Enumerable.Range(0, CohortStyle.Count).Select(CohortStyle.Of)];
        Assert.Equal(styles.Length, styles.Select(s => s.Marker).Distinct().Count());
        Assert.Equal(styles.Length, styles.Select(s => s.Line.Name).Distinct().Count());
    }

    private static double[] Lab(Color color, double[,] vision)
    {
        double[] rgb = [Linear(color.R), Linear(color.G), Linear(color.B)];
        double[] seen = Times(vision, rgb);
        double[] xyz = Times(new double[,]
        {
            { 0.4124564, 0.3575761, 0.1804375 }, { 0.2126729, 0.7151522, 0.0721750 }, { 0.0193339, 0.1191920, 0.9503041 },
        }, [.. seen.Select(v => Math.Clamp(v, 0, 1))]);
        double x = Curve(xyz[0] / 0.95047), y = Curve(xyz[1]), z = Curve(xyz[2] / 1.08883);
        return [116 * y - 16, 500 * (x - y), 200 * (y - z)];
    }

    private static double[] Times(double[,] m, double[] v) =>
        [.. Enumerable.Range(0, 3).Select(i => m[i, 0] * v[0] + m[i, 1] * v[1] + m[i, 2] * v[2])];

    private static double Linear(byte value)
    {
        double c = value / 255.0;
        return c <= 0.04045 ? c / 12.92 : Math.Pow((c + 0.055) / 1.055, 2.4);
    }

    private static double Curve(double t) => t > 216.0 / 24389 ? Math.Cbrt(t) : (24389.0 / 27 * t + 16) / 116;
}
