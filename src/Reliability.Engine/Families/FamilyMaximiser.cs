using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Families;

/// <summary>
/// Newton's method for any likelihood of a few parameters, with differences for derivatives where the family gives none. Each iteration works in
/// coordinates in which the one before found the likelihood to bend by 1, so that one step length suits all directions;
/// where it does not bend downwards the step follows the absolute curvature, and every step is halved until it gains.
/// Converged means that the last Newton step, from an extrapolated gradient, is below 1e-8 standard errors or at the
/// rounding of the likelihood.
/// </summary>
internal static class FamilyMaximiser
{
    private const int MostIterations = 150;
    private const int ThinnedRows = 2000;
    private const int MostStarts = 3;
    private const int MostStalls = 3;
    private const double Step = 0.1, GradientStep = 0.05, HessianStep = 0.15;
    private const double Near = 1e-3, Skewed = 0.1;
    private const double SettledHessian = 3e-8;
    private const int MostHessianHalvings = 4;
    private const double Tolerance = 1e-8;
    private const double Doubtful = 1e-5;

    // How far parameters may run from their start, in tenths of what matters: e^40 for a positive one.
    private const double FarAway = 400;

    // The widest step along a direction in which the likelihood hardly bends.
    private const double WidestUnits = 30;

    // The least curvature of a maximum, where the greatest is about 1; less, in coordinates as wide as that, is none.
    private const double LeastCurvature = 1e-3;

    /// <summary>Maximises from several starts and keeps the highest maximum.</summary>
    public static Estimable<FamilyMaximum> Maximise(Surface surface, CancellationToken cancellationToken)
    {
        var thinned = surface.Thinned(ThinnedRows);
        var starts = StartingPoints.Of(surface, MostStarts, cancellationToken);
        Estimable<FamilyMaximum>? best = null;
        foreach (var start in starts)
        {
            var found = MaximiseFrom(thinned, start, cancellationToken);
            if (!ReferenceEquals(thinned, surface))
                found = MaximiseFrom(surface, found.TryGet(out var rough, out _) ? rough.Point : start, cancellationToken);
            if (best is null || !best.TryGet(out var before, out _)
                || (found.TryGet(out var maximum, out _) && maximum.Value > before.Value))
            {
                best = found;
            }
        }

        return best ?? new NotEstimable(
            NotEstimableReasons.NoConvergence, "The likelihood of these lives cannot be computed at any usual parameters.");
    }

    /// <summary>Maximises from one start.</summary>
    public static Estimable<FamilyMaximum> MaximiseFrom(Surface surface, double[] start, CancellationToken cancellationToken)
    {
        var n = surface.Dimensions;
        var typical = StartingPoints.TypicalHours(surface.Likelihood.Sample);
        var units = new double[n];
        var root = new double[n, n];
        for (var i = 0; i < n; i++)
        {
            units[i] = StartingPoints.Unit(surface.Parameters.Describe(i), typical);
            root[i, i] = units[i];
        }

        var point = (double[])start.Clone();
        var value = surface.At(point, cancellationToken);
        var narrowings = 0;
        var stalls = 0;
        var decrementBefore = double.PositiveInfinity;
        var (before, lately) = (double.NegativeInfinity, double.NegativeInfinity);
        for (var iteration = 0; iteration < MostIterations && double.IsFinite(value); iteration++)
        {
            if (iteration % 10 == 0)
                (before, lately) = (lately, value);
            var (gradient, hessian) = Along(surface, point, root, cancellationToken).Quick(new double[n], value, Step);
            if (!AllFinite(gradient, hessian))
            {
                // The differences ran over an edge of what can be computed.
                if (++narrowings > 25)
                    break;
                root = Scaled(root, 0.25);
                continue;
            }

            var (step, isDownward, next) = Newton(gradient, hessian, root, units, WidestUnits);
            var decrement = Norm(step);
            var rounding = 1e-13 * (1 + Math.Abs(value));

            // On a skewed likelihood differences of one step length show a slope at the very top, and steps no longer shrink:
            // there, too, the extrapolated derivatives decide.
            var isStalled = decrement < Skewed && decrement > decrementBefore / 2;
            decrementBefore = decrement;
            if (isDownward && (decrement < Near || (isStalled && stalls++ < MostStalls)))
            {
                var polished = Polish(surface, point, value, next, units, cancellationToken);
                if (decrement < Near || polished.TryGet(out _, out _))
                    return polished;
            }

            var limit = 1.0;
            var move = Product(root, step);
            for (var i = 0; i < n; i++)
                limit = Math.Min(limit, 20 * units[i] / Math.Max(Math.Abs(move[i]), double.Epsilon));
            var gained = false;
            for (var halvings = 0; halvings < 40 && !gained; halvings++)
            {
                var tried = point.Zip(move, (p, m) => p + limit * m).ToArray();
                var there = surface.At(tried, cancellationToken);
                if (there > value + rounding || (there >= value - rounding && decrement < 0.1))
                {
                    (point, value) = (tried, there);
                    gained = true;
                }

                limit /= 2;
            }

            if (!gained && ++narrowings > 12)
                break;
            root = gained ? next : Scaled(root, 0.3);
            for (var i = 0; i < n; i++)
            {
                if (Math.Abs(point[i] - start[i]) > FarAway * units[i])
                    return AtInfinity;
            }
        }

        var far = Enumerable.Range(0, n).Any(i => Math.Abs(point[i] - start[i]) > FarAway / 4 * units[i]);
        if (far || !double.IsFinite(value))
            return AtInfinity;

        // Many steps that gain nothing: a ridge without a top.
        return value - before < 1e-4 ? Singular : NoConvergence;
    }

    private static NotEstimable AtInfinity => new(
        NotEstimableReasons.MaximumAtInfinity,
        "The likelihood of these lives keeps growing as a parameter runs to the end of its range; it has no maximum.");

    private static NotEstimable NoConvergence => new(
        NotEstimableReasons.NoConvergence,
        "The maximisation did not reach its tolerance; no number is given rather than a doubtful one.");

    /// <summary>The last steps, with extrapolated derivatives.</summary>
    private static Estimable<FamilyMaximum> Polish(
        Surface surface, double[] point, double value, double[,] root, double[] units, CancellationToken cancellationToken)
    {
        var n = surface.Dimensions;
        var origin = new double[n];
        double decrement = double.PositiveInfinity;
        for (var round = 0; round < 3; round++)
        {
            var f = Along(surface, point, root, cancellationToken);
            var hessian = f.Hessian(origin, value, HessianStep);
            for (var i = 0; i < 8; i++)
            {
                f = Along(surface, point, root, cancellationToken);
                var gradient = f.Gradient(origin, GradientStep);
                if (!AllFinite(gradient, hessian))
                    return NoConvergence;
                var (step, isDownward, _) = Newton(gradient, hessian, root, units, WidestUnits);
                if (!isDownward)
                    return Singular;
                var length = Norm(step);
                if (length >= decrement && decrement < Doubtful)
                    break;
                decrement = length;
                var move = Product(root, step);
                var tried = point.Zip(move, (p, m) => p + m).ToArray();
                var there = surface.At(tried, cancellationToken);
                if (there < value - 1e-12 * (1 + Math.Abs(value)))
                    break;
                (point, value) = (tried, there);
                if (decrement < Tolerance)
                    break;
            }

            // Once more in coordinates that fit, in which the information is that of the maximum itself.
            f = Along(surface, point, root, cancellationToken);
            hessian = Settled(f, origin, value);
            if (!AllFinite(origin, hessian))
                return NoConvergence;
            var (_, downward, next) = Newton(origin, hessian, root, units, double.PositiveInfinity);
            if (!downward)
                return Singular;
            var settled = IsNearUnit(hessian);
            root = next;
            if (settled && decrement < Doubtful)
                return new FamilyMaximum(point, value, root, decrement);
        }

        return decrement < Doubtful ? new FamilyMaximum(point, value, root, decrement) : NoConvergence;
    }

    /// <summary>The Hessian by steps that are halved until it no longer changes: skewed likelihoods need shorter ones.</summary>
    private static double[,] Settled(LocalSurface f, double[] origin, double value)
    {
        var (step, change) = (HessianStep, double.PositiveInfinity);
        var hessian = f.Hessian(origin, value, step);
        for (var i = 0; i < MostHessianHalvings && change > SettledHessian; i++)
        {
            step /= 2;
            var finer = f.Hessian(origin, value, step);
            double next = 0;
            for (var k = 0; k < hessian.Length; k++)
                next = Math.Max(next, Math.Abs(finer[k / origin.Length, k % origin.Length] - hessian[k / origin.Length, k % origin.Length]));
            if (!(next < change))
                break;
            if (next > SettledHessian)
                hessian = finer;
            change = next;
        }

        return hessian;
    }

    private static NotEstimable Singular => new(
        NotEstimableReasons.SingularInformation, "These lives do not tell the parameters apart.");

    private static bool IsNearUnit(double[,] hessian)
    {
        for (var i = 0; i < hessian.GetLength(0); i++)
        {
            if (Math.Abs(hessian[i, i] + 1) > 0.2)
                return false;
        }

        return true;
    }

    /// <summary>The likelihood in coordinates around a point.</summary>
    private static LocalSurface Along(Surface surface, double[] point, double[,] root, CancellationToken cancellationToken) =>
        new(surface, point, root, cancellationToken);

    /// <summary>
    /// The Newton step in the present coordinates; whether the likelihood bends downwards in all directions; and the root
    /// of the next coordinates, in which it bends by 1.
    /// </summary>
    private static (double[] Step, bool IsDownward, double[,] Next) Newton(
        double[] gradient, double[,] hessian, double[,] root, double[] units, double widestUnits)
    {
        var n = gradient.Length;
        var (values, vectors) = SymmetricEigen.Of(hessian);
        var step = new double[n];
        var next = new double[n, n];
        var greatest = 0.0;
        for (var k = 0; k < n; k++)
            greatest = Math.Max(greatest, Math.Abs(values[k]));
        var isDownward = greatest > 0;
        for (var k = 0; k < n; k++)
        {
            var value = values[k];
            var size = Math.Max(Math.Abs(value), 1e-10 * greatest + 1e-300);
            isDownward &= value < -LeastCurvature * greatest;
            double along = 0;
            for (var i = 0; i < n; i++)
                along += vectors[i, k] * gradient[i];
            for (var i = 0; i < n; i++)
                step[i] += vectors[i, k] * along / size;

            // The new column, no longer than is sensible on the parameters' own scales.
            double widest = 0;
            for (var i = 0; i < n; i++)
            {
                for (var j = 0; j < n; j++)
                    next[i, k] += root[i, j] * vectors[j, k] / Math.Sqrt(size);
                widest = Math.Max(widest, Math.Abs(next[i, k]) / units[i]);
            }

            for (var i = 0; i < n && widest > widestUnits; i++)
                next[i, k] *= widestUnits / widest;
        }

        return (step, isDownward, next);
    }

    private static double[] Product(double[,] matrix, double[] vector) =>
        FreeParameters.Moved(new double[vector.Length], matrix, vector);

    private static double[,] Scaled(double[,] matrix, double factor)
    {
        var scaled = (double[,])matrix.Clone();
        for (var i = 0; i < matrix.GetLength(0); i++)
        {
            for (var j = 0; j < matrix.GetLength(1); j++)
                scaled[i, j] *= factor;
        }

        return scaled;
    }

    private static double Norm(double[] vector) => Math.Sqrt(vector.Sum(x => x * x));

    private static bool AllFinite(double[] gradient, double[,] hessian)
    {
        foreach (var x in hessian)
        {
            if (!double.IsFinite(x))
                return false;
        }

        return Array.TrueForAll(gradient, double.IsFinite);
    }
}
