using Reliability.Engine.Bounds;

namespace Reliability.Engine.Tests.Bounds;

public sealed class EdgeCurveTests
{
    [Fact]
    public void A_smooth_edge_is_reproduced_between_its_angles()
    {
        static double Radius(double angle) => 2 / (1 - 0.1 * Math.Cos(angle - 0.3));
        var curve = EdgeCurve.Interpolate(a => Radius(a), 1e-12)!;

        for (var angle = -3.0; angle < 3; angle += 0.17)
        {
            var (radius, slope) = curve.At(angle);
            Assert.Equal(Radius(angle), radius, 1e-11);
            Assert.Equal((Radius(angle + 1e-5) - Radius(angle - 1e-5)) / 2e-5, slope, 1e-8);
        }
    }

    [Fact]
    public void An_edge_with_a_corner_or_without_end_is_given_up()
    {
        Assert.Null(EdgeCurve.Interpolate(a => 1 + Math.Abs(Math.Sin(a)), 1e-10));
        Assert.Null(EdgeCurve.Interpolate(a => a > 5 ? null : 1, 1e-10));
    }
}
