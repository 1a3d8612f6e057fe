using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>
/// The canonical parameter of the exponential family tangent to the model at the data: phi(theta) = sum of dl/dx of each life at
/// theta times how its x moves with the parameters when its z stays (Fraser, Reid and Wu 1999; Lawless 2003, app. E). For complete and
/// failure-terminated samples, where every x moves with the parameters.
/// </summary>
/// <param name="First">phi by u, up to the sign and factor that cancel.</param>
/// <param name="Second">phi by v.</param>
/// <param name="FirstByLogU">Its derivatives by (log u, v).</param>
/// <param name="FirstByV">Likewise.</param>
/// <param name="SecondByLogU">Likewise.</param>
/// <param name="SecondByV">Likewise.</param>
internal readonly record struct ObservedTilt(
    double First, double Second, double FirstByLogU, double FirstByV, double SecondByLogU, double SecondByV)
{
    /// <summary>The determinant of its derivatives.</summary>
    public double Determinant => FirstByLogU * SecondByV - FirstByV * SecondByLogU;

    public static ObservedTilt At(LogTimeLikelihood likelihood, double u, double v)
    {
        var distribution = likelihood.Distribution;
        var sample = likelihood.Sample;
        double d0 = 0, d1 = 0, c0 = 0, c1 = 0, c2 = 0;
        for (var i = 0; i < sample.FailedX.Length; i++)
        {
            var x = sample.FailedX[i];
            distribution.LogDensity(u * x + v, out var slope, out var curvature);
            Add(sample.FailedCount[i], x, slope, curvature);
        }

        for (var i = 0; i < sample.SurvivedX.Length; i++)
        {
            var x = sample.SurvivedX[i];
            distribution.LogSurvival(u * x + v, out var slope, out var curvature);
            Add(sample.SurvivedCount[i], x, slope, curvature);
        }

        return new(u * d1, u * d0, u * d1 + u * u * c2, u * c1, u * d0 + u * u * c1, u * c0);

        void Add(double count, double x, double slope, double curvature)
        {
            d0 += count * slope;
            d1 += count * slope * x;
            c0 += count * curvature;
            c1 += count * curvature * x;
            c2 += count * curvature * x * x;
        }
    }
}
