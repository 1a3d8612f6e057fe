namespace Reliability.Analysis.Tests.BiasStudy;

/// <summary>The invented truth that the study's records are drawn from: a Weibull life in run-hours.</summary>
internal static class KnownTruth
{
    public const double Shape = 2, Scale = 4000;

    public static double B10 => Scale * Math.Pow(-Math.Log(0.9), 1 / Shape);

    public static double Draw(Random random) => Scale * Math.Pow(-Math.Log(1 - random.NextDouble()), 1 / Shape);
}
