using System.Globalization;
using MathNet.Numerics.Distributions;

namespace Reliability.Studies.Prediction;

/// <summary>How the lives of a cell are watched.</summary>
internal enum WatchPlan
{
    /// <summary>All from new, all stopped at the r-th failure.</summary>
    ToFailure,

    /// <summary>All from new, all stopped at one age.</summary>
    ToAge,

    /// <summary>A fleet entered evenly over time and looked at once: ages at the end spread evenly from 0.</summary>
    Staggered,

    /// <summary>The same, and removed at rated hours, which are 0.7 of the greatest age.</summary>
    Rated,

    /// <summary>Half of the lives watched from new, half from an age spread evenly up to the median life; all for equally long.</summary>
    HalfLate,

    /// <summary>All lives watched from an age spread evenly up to the median life; all for equally long.</summary>
    AllLate,
}

/// <summary>How lives are distributed; log life has a shape of 1/sigma.</summary>
internal enum LifeFamily
{
    /// <summary>Weibull.</summary>
    Weibull,

    /// <summary>Lognormal.</summary>
    Lognormal,

    /// <summary>Loglogistic.</summary>
    Loglogistic,
}

/// <summary>One cell of the study; the median life is 1.</summary>
/// <param name="Plan">How lives are watched.</param>
/// <param name="Shape">True shape.</param>
/// <param name="Failures">Failures, expected or (to a failure) exact.</param>
/// <param name="Censored">Share of lives not failed, expected.</param>
/// <param name="Family">How lives are distributed.</param>
/// <param name="Visits">Share of the longest watch between two visits at which failures are found; 0 when their ages are known.</param>
internal sealed record PredictionCell(
    WatchPlan Plan, double Shape, int Failures, double Censored, LifeFamily Family = LifeFamily.Weibull, double Visits = 0)
{
    private readonly double _scale = Math.Pow(Math.Log(2), -1 / Shape);

    /// <summary>What the cell is called in results.</summary>
    public string Id => string.Create(CultureInfo.InvariantCulture, $"{Plan}/{Shape}/{Failures}/{Censored}{(IsPlain ? "" : $"/{Family}/{Visits}")}");

    /// <summary>Weibull lives of known ages, predicted in closed form over the shape; else by quadrature over both parameters.</summary>
    public bool IsPlain => Family == LifeFamily.Weibull && Visits == 0;

    /// <summary>Lives in a sample.</summary>
    public int Lives => (int)Math.Round(Failures / (1 - Censored));

    /// <summary>All cells, in the order in which they are run.</summary>
    public static IEnumerable<PredictionCell> All()
    {
        double[] shapes = [0.5, 1.5, 3, 6], shares = [0.3, 0.7, 0.95];
        int[] failures = [5, 8, 15, 30];
        foreach (var share in shares)
        {
            foreach (var count in failures)
            {
                // With one age or failure to stop at, log life is a location and scale: the shape does not matter.
                yield return new(WatchPlan.ToAge, 1.5, count, share);
                if (count is 5 or 15)
                    yield return new(WatchPlan.ToFailure, 1.5, count, share);
            }
        }

        yield return new(WatchPlan.ToAge, 6, 8, 0.7);
        yield return new(WatchPlan.ToFailure, 1.5, 5, 0);
        yield return new(WatchPlan.ToFailure, 6, 15, 0);
        yield return new(WatchPlan.Staggered, 1.5, 8, 0.7);
        foreach (var shape in shapes)
        {
            foreach (var share in shares)
            {
                foreach (var count in (int[])[5, 15, 30])
                    yield return new(WatchPlan.Staggered, shape, count, share);
                foreach (var count in (int[])[5, 15])
                    yield return new(WatchPlan.Rated, shape, count, share);
            }

            foreach (var share in (double[])[0.3, 0.7])
            {
                foreach (var count in (int[])[5, 15, 30])
                    yield return new(WatchPlan.HalfLate, shape, count, share);
                foreach (var count in (int[])[8, 30])
                    yield return new(WatchPlan.AllLate, shape, count, share);
            }
        }

        foreach (var cell in ByQuadrature())
            yield return cell;
    }

    /// <summary>True chance of surviving to an age.</summary>
    public double Survival(double age) => Family switch
    {
        LifeFamily.Lognormal => Normal.CDF(0, 1, -Shape * Math.Log(age)),
        LifeFamily.Loglogistic => 1 / (1 + Math.Pow(age, Shape)),
        _ => Math.Exp(-Math.Pow(age / _scale, Shape)),
    };

    /// <summary>The age survived with a chance.</summary>
    public double AgeAt(double survival) => Family switch
    {
        LifeFamily.Lognormal => Math.Exp(-Normal.InvCDF(0, 1, survival) / Shape),
        LifeFamily.Loglogistic => Math.Pow(1 / survival - 1, 1 / Shape),
        _ => _scale * Math.Pow(-Math.Log(survival), 1 / Shape),
    };

    /// <summary>Cells whose predictions are made by quadrature: fewer, because each takes longer.</summary>
    private static IEnumerable<PredictionCell> ByQuadrature()
    {
        foreach (var family in (LifeFamily[])[LifeFamily.Lognormal, LifeFamily.Loglogistic])
        {
            yield return new(WatchPlan.ToAge, 1.5, 8, 0.7, family);
            yield return new(WatchPlan.Staggered, 1.5, 15, 0.7, family);
        }

        yield return new(WatchPlan.ToAge, 1.5, 8, 0.7, LifeFamily.Weibull, 0.25);
        yield return new(WatchPlan.Staggered, 1.5, 15, 0.7, LifeFamily.Weibull, 0.25);
        yield return new(WatchPlan.ToAge, 1.5, 8, 0.7, LifeFamily.Lognormal, 0.25);
        yield return new(WatchPlan.ToFailure, 1.5, 5, 0, LifeFamily.Lognormal);
        yield return new(WatchPlan.ToFailure, 1.5, 5, 0, LifeFamily.Loglogistic);
        yield return new(WatchPlan.HalfLate, 1.5, 15, 0.7, LifeFamily.Lognormal);
        yield return new(WatchPlan.Staggered, 3, 5, 0.3, LifeFamily.Lognormal);
        yield return new(WatchPlan.Rated, 1.5, 15, 0.7, LifeFamily.Loglogistic);
        yield return new(WatchPlan.AllLate, 1.5, 8, 0.7, LifeFamily.Lognormal);
        yield return new(WatchPlan.AllLate, 1.5, 8, 0.7, LifeFamily.Loglogistic);
    }
}
