using Reliability.Engine.Abstractions;
using Reliability.Engine.LocationScale;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Kernels;

/// <summary>
/// The maximum for exact and right-censored Weibull lives. With x = log(hours / greatest hours), m the mean x of the failures and S_k the
/// sum of exp(shape x) x^k over all lives, the shape solves shape (S_1 / S_0 - m) = 1 (Lawless 2003, 5.2, here on a log axis that cannot
/// overflow), and the scale follows from S_0. Halley's method on the log of the shape comes near, of a sample beyond 20,000 rows on few of
/// them; then one pass gathers nine sums, from which the shape nearby follows by Taylor's series. Where the few rows led too far astray for
/// that, Halley's method goes on over all rows.
/// </summary>
internal static class RightCensoredWeibull
{
    private const int FewRows = 1024, MoreRows = 8_192, LargeRows = 20_000;
    private const int MostSteps = 60, MostPasses = 60;

    // After a step of the log shape this long, one pass with sums of eight powers ends the search.
    private const double LastStep = 0.2;

    // The eighth power of a relative step of the shape this long is below rounding, and with it what the series leaves out.
    public const double LongestStep = 0.02;

    // The last term that the series of S_1 keeps, over S_1; what it leaves out is some hundredths of that.
    private const double LastTerm = 1e-11;
    private const double SevenFactorial = 5040;

    [ThreadStatic]
    private static double[]? _x;

    [ThreadStatic]
    private static double[]? _weights;

    [ThreadStatic]
    private static LifeOutcome[]? _outcomes;

    /// <summary>The maximum; null where this way does not find one.</summary>
    /// <param name="sample">Lives failed or survived, watched from the start.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static Maximum? Maximise(LifeSample sample, CancellationToken cancellationToken)
    {
        cancellationToken.ThrowIfCancellationRequested();
        var greatest = sample.OldestHours;
        if (!double.IsFinite(1 / greatest))
            return null;
        ReadOnlySpan<double> x = [], weights = [];
        double failedX = 0;
        double? shape = null;
        var isLarge = sample.RowCount > LargeRows;
        foreach (var rows in isLarge ? (ReadOnlySpan<int>)[FewRows, MoreRows] : [sample.RowCount])
        {
            (x, weights, var failed, failedX) = Every(sample, Spread.Stride(sample.RowCount, rows));
            shape = failed > 0 ? Near(x, weights, failedX / failed, shape ?? Start(x)) ?? shape : shape;
        }

        double below = 0, above = double.PositiveInfinity;
        for (var pass = 0; pass < MostPasses && shape is { } at; pass++)
        {
            WeightedPowers sums = default;
            if (isLarge)
            {
                sums = Powers(sample, at, cancellationToken);
            }
            else
            {
                sums[WeightedPowers.FailedX] = failedX;
                Add<ToEighth>(ref sums, x, weights, at);
            }

            var mean = sums[WeightedPowers.FailedX] / sample.FailedCount;
            if (Step(sums, at, mean) is not { } step)
            {
                shape = Next(sums, at, mean, ref below, ref above);
                continue;
            }

            if (IsShort(sums, step))
            {
                var (s0, s1, s2, _) = sums.Moved(step, 8);
                return Made(sample, at + step, s0, s1, s2, mean);
            }

            shape = at + step;
        }

        return null;
    }

    /// <summary>The powers 0 to 8 of all lives at a shape, and the sum of x over failures.</summary>
    public static WeightedPowers Powers(LifeSample sample, double shape, CancellationToken cancellationToken) => Segments.Sum(
        sample.RowCount, (ref WeightedPowers sum, int from, int end) => Add(ref sum, sample, from, end, shape),
        WeightedPowers.Join, cancellationToken);

    /// <summary>How far the solution is from the shape of the sums, by their series; null where it runs away.</summary>
    private static double? Step(in WeightedPowers sums, double at, double mean)
    {
        var step = 0.0;
        for (var i = 0; i < MostSteps; i++)
        {
            var (s0, s1, s2, s3) = sums.Moved(step, 8);
            var change = (at + step) * NearZero.Expm1(Halley(at + step, s0, s1, s2, s3, mean));
            if (!double.IsFinite(change) || Math.Abs(step + change) > 0.2 * at)
                return null;
            step += change;

            // What this step of Halley's leaves is its cube.
            if (Math.Abs(change) < 1e-5 * at)
                break;
        }

        return step;
    }

    /// <summary>Whether the series has died away at its last term.</summary>
    private static bool IsShort(in WeightedPowers sums, double step)
    {
        var square = step * step;
        return Math.Abs(sums[8] * (square * square * square * step) / SevenFactorial) <= LastTerm * Math.Abs(sums[1]);
    }

    /// <summary>A step of Halley's method between the shapes known to be too small and too great; null where there is none.</summary>
    private static double? Next(in WeightedPowers sums, double at, double mean, ref double below, ref double above)
    {
        var step = Halley(at, sums[0], sums[1], sums[2], sums[3], mean);
        if (!double.IsFinite(step))
            return null;
        if (step > 0)
            below = at;
        else
            above = at;
        var next = at * Math.Exp(Math.Clamp(step, -2, 2));
        return next > below && next < above ? next : double.IsInfinity(above) ? 2 * at : (below + above) / 2;
    }

    private static Maximum? Made(LifeSample sample, double u, double s0, double s1, double s2, double mean)
    {
        var failed = sample.FailedCount;
        var v = Math.Log(failed / s0);
        var (uv, uu) = (failed * s1 / s0, failed / (u * u) + failed * s2 / s0);
        var determinant = uu * failed - uv * uv;
        var (covUU, covUV, covVV) = (failed / determinant, -uv / determinant, uu / determinant);
        var value = failed * (Math.Log(u / sample.OldestHours) + (u - 1) * mean + v - 1);
        var gradient = failed / u + failed * mean - uv;
        return determinant > 0 && double.IsFinite(value) && double.IsFinite(covUU) && double.IsFinite(covVV) && double.IsFinite(v)
            ? new Maximum(u, v, value, covUU, covUV, covVV, Math.Abs(gradient) * Math.Sqrt(covUU))
            : null;
    }

    /// <summary>A shape so near the solution for some rows that the series ends it; null where there is none.</summary>
    private static double? Near(ReadOnlySpan<double> x, ReadOnlySpan<double> weights, double mean, double start)
    {
        // The shape is above -1/mean, because S_1 / S_0 is below 0.
        if (!(mean < 0))
            return null;
        double below = -1 / mean, above = double.PositiveInfinity;
        var shape = Math.Max(start, below);
        for (var i = 0; i < MostSteps; i++)
        {
            var sums = new WeightedPowers();
            Add<ToThird>(ref sums, x, weights, shape);
            var step = Halley(shape, sums[0], sums[1], sums[2], sums[3], mean);
            if (!double.IsFinite(step))
                return null;
            if (step > 0)
                below = shape;
            else
                above = shape;
            var next = shape * Math.Exp(Math.Clamp(step, -2, 2));
            var isWithin = next > below && next < above;
            shape = isWithin ? next : double.IsInfinity(above) ? 2 * below : Math.Sqrt(below * above);

            // The cube of the step is what it leaves.
            if (isWithin && Math.Abs(step) < LastStep)
                return shape;
        }

        return null;
    }

    /// <summary>
    /// Halley's step of log shape for shape (S_1 / S_0 - mean) = 1, towards the solution from either side: S_1 / S_0 - 1 / shape rises with
    /// the shape. Where the left side falls, as with few old failures in a young fleet, there is no such step and two stands for it.
    /// </summary>
    private static double Halley(double shape, double s0, double s1, double s2, double s3, double mean)
    {
        var first = s1 / s0;
        var second = s2 / s0;
        var spread = shape * shape * (second - first * first);
        var skew = shape * shape * shape * (s3 / s0 - 3 * first * second + 2 * first * first * first);
        var miss = shape * (first - mean) - 1;
        var slope = miss + 1 + spread;
        if (slope <= 0)
            return miss < 0 ? 2 : -2;
        var curvature = slope + 2 * spread + skew;
        var below = 2 * slope * slope - miss * curvature;
        return below > slope * slope ? -2 * miss * slope / below : -miss / slope;
    }

    /// <summary>1.28 over the standard deviation of x over some of the rows: exact for a complete sample of one shape.</summary>
    private static double Start(ReadOnlySpan<double> x)
    {
        var stride = (x.Length + 63) / 64;
        double sum = 0, squares = 0, n = 0;
        for (var i = 0; i < x.Length; i += stride, n++)
        {
            sum += x[i];
            squares += x[i] * x[i];
        }

        var variance = squares / n - sum / n * (sum / n);
        return variance > 0 ? 1.28 / Math.Sqrt(variance) : 0;
    }

    private static void Add(ref WeightedPowers sums, LifeSample sample, int from, int end, double shape)
    {
        var x = (_x ??= new double[LargeRows]).AsSpan(0, end - from);
        var weights = sample.HasCounts ? sample.Counts[from..end] : [];
        sums[WeightedPowers.FailedX] += ToAxis(
            sample.LowerHours[from..end], sample.Outcomes[from..end], weights, sample.OldestHours, x);
        Add<ToEighth>(ref sums, x, weights, shape);
    }

    private static void Add<THighest>(ref WeightedPowers sums, ReadOnlySpan<double> x, ReadOnlySpan<double> weights, double shape)
        where THighest : struct, IHighestPower
    {
        if (Width.Is512)
            PowerKernels<Lanes512>.Add<THighest>(ref sums, x, weights, shape);
        else if (Width.Is256)
            PowerKernels<Lanes256>.Add<THighest>(ref sums, x, weights, shape);
        else
            PowerKernels<Lanes128>.Add<THighest>(ref sums, x, weights, shape);
    }

    private static double ToAxis(
        ReadOnlySpan<double> hours, ReadOnlySpan<LifeOutcome> outcomes, ReadOnlySpan<double> weights, double reference, Span<double> x) =>
        Width.Is512 ? PowerKernels<Lanes512>.ToAxis(hours, outcomes, weights, reference, x)
        : Width.Is256 ? PowerKernels<Lanes256>.ToAxis(hours, outcomes, weights, reference, x)
        : PowerKernels<Lanes128>.ToAxis(hours, outcomes, weights, reference, x);

    /// <summary>Every so-manyth row on the log time axis, in memory that the thread keeps.</summary>
    private static Rows Every(LifeSample sample, int stride)
    {
        var x = _x ??= new double[LargeRows];
        if (stride == 1)
        {
            var held = x.AsSpan(0, sample.RowCount);
            var counts = sample.HasCounts ? sample.Counts : [];
            return new(held, counts, sample.FailedCount, ToAxis(sample.LowerHours, sample.Outcomes, counts, sample.OldestHours, held));
        }

        var weights = _weights ??= new double[MoreRows];
        var outcomes = _outcomes ??= new LifeOutcome[MoreRows];
        var hasCounts = sample.HasCounts;
        var n = 0;
        double failed = 0;
        for (var i = stride / 2; i < sample.RowCount; i += stride, n++)
        {
            x[n] = sample.LowerHours[i];
            outcomes[n] = sample.Outcomes[i];
            weights[n] = hasCounts ? sample.Counts[i] : 1;
            failed += weights[n] * (1 - (int)outcomes[n]);
        }

        var taken = x.AsSpan(0, n);
        var counted = hasCounts ? weights.AsSpan(0, n) : [];
        return new(taken, counted, failed, ToAxis(taken, outcomes.AsSpan(0, n), counted, sample.OldestHours, taken));
    }

    /// <summary>Rows on the log time axis, lives of each (empty when one), how many failed, and the sum of x over those.</summary>
    private readonly ref struct Rows(ReadOnlySpan<double> x, ReadOnlySpan<double> weights, double failed, double failedX)
    {
        private readonly ReadOnlySpan<double> _x = x, _weights = weights;

        public void Deconstruct(out ReadOnlySpan<double> x, out ReadOnlySpan<double> weights, out double failed, out double failedX)
        {
            (failed, failedX) = (_failed, _failedX);
            x = _x;
            weights = _weights;
        }

        private readonly double _failed = failed, _failedX = failedX;
    }
}
