using MathNet.Numerics.LinearAlgebra;
using Reliability.Engine.Abstractions;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Families;

/// <summary>
/// The region of parameters whose log-likelihood lies within a drop of the maximum, for any number of them. The least and
/// the greatest value of a quantity over it are its profile-likelihood bounds (Meeker and Escobar 1998, 8.2-8.3).
/// </summary>
/// <remarks>
/// The quantity is driven along the edge of the region, in the coordinates of <see cref="FamilyMaximum"/> in which the
/// edge is nearly a sphere: a Newton step for the Lagrangian within the tangent plane, then back to the edge along the
/// ray from the maximum. Every point visited lies on the edge, and a step that does not gain is halved, so that what comes
/// out is an extreme or nothing; an error in the direction matters to second order only.
/// </remarks>
internal sealed class FamilyRegion(Surface surface, FamilyMaximum maximum, double drop) : IFamilyBounds
{
    private const double FarAway = 1e7;
    private const int MostRaySteps = 80;
    private const int MostSteps = 60;
    private const int MostHalvings = 12;
    private const double Step = 0.05;

    // How much of the quantity's slope may lie along the edge where it is taken for extreme.
    private const double Tolerance = 3e-6, Doubtful = 1e-2;

    private readonly double _target = Math.Sqrt(2 * drop);

    /// <summary>The region of a request; null where its bounds are made otherwise.</summary>
    public static FamilyRegion? For(Surface surface, FamilyMaximum maximum, FitOptions options) =>
        options.BoundsMethod == BoundsMethod.LikelihoodRatio
            ? new FamilyRegion(surface, maximum, ReferenceDistributions.ChiSquareQuantile(1, options.ConfidenceLevel) / 2)
            : null;

    public FamilyBound Extreme(FamilyQuantity quantity, int sign, CancellationToken cancellationToken)
    {
        double Psi(double[] a) => sign * surface.Parameters.At(quantity, maximum.PointAt(a));
        var fall = new LocalSurface(surface, maximum.Point, maximum.Root, cancellationToken);

        var expecting = surface.Parameters.Expecting(quantity, a => maximum.PointAt(a));
        var n = surface.Dimensions;
        var origin = new double[n];
        var direction = Differences.Foretold(f => Differences.Gradient(f, origin, Step), Psi, expecting);
        if (!Array.TrueForAll(direction, double.IsFinite) || Norm(direction) == 0)
            return FamilyBound.NotFound;
        if (OnEdge(direction, _target, out var endless, cancellationToken) is not { } at)
            return endless ? FamilyBound.Endless : FamilyBound.NotFound;
        var value = Psi(at);
        for (var i = 0; i < MostSteps; i++)
        {
            if (!double.IsFinite(value))
                return FamilyBound.NotFound;
            if (n == 1)
                return FamilyBound.At(sign * value);
            expecting?.Invoke(LocalSurface.Around(at, Step));
            fall.Foretell(at, Step);
            var normal = fall.Gradient(at, Step).Select(g => -g).ToArray();
            var slope = Differences.Gradient(Psi, at, Step);
            if (!Array.TrueForAll(normal, double.IsFinite) || !Array.TrueForAll(slope, double.IsFinite))
                return FamilyBound.NotFound;
            var steepness = Norm(normal);
            for (var k = 0; k < n; k++)
                normal[k] /= steepness;
            var outward = Dot(slope, normal);
            var tangent = slope.Zip(normal, (s, m) => s - outward * m).ToArray();
            var along = Norm(tangent);
            var share = along / Math.Max(Norm(slope), double.Epsilon);
            if (share < Tolerance)
                return FamilyBound.At(sign * value);

            var move = NewtonMove(Psi, fall, at, value, normal, tangent, outward / steepness)
                ?? PlainMove(at, tangent, along, outward / steepness);
            var longest = 0.7 * Norm(at);
            var length = Norm(move);
            var scale = length > longest ? longest / length : 1;
            double[]? found = null;
            var isEndless = false;
            var gained = double.NaN;
            for (var halvings = 0; halvings < MostHalvings; halvings++, scale /= 2)
            {
                var tried = at.Zip(move, (p, m) => p + scale * m).ToArray();
                found = OnEdge(tried, Norm(at), out isEndless, cancellationToken);
                if (found is null)
                    continue;
                gained = Psi(found);
                if (gained > value)
                    break;
            }

            if (found is null)
                return isEndless ? FamilyBound.Endless : FamilyBound.NotFound;
            if (!(gained > value))
                return share < Doubtful ? FamilyBound.At(sign * value) : FamilyBound.NotFound;
            (at, value) = (found, gained);
        }

        return FamilyBound.NotFound;
    }

    /// <summary>The step in the tangent plane to where quantity plus multiplier times likelihood is level; null where that
    /// is no ascent.</summary>
    private static double[]? NewtonMove(
        Func<double[], double> psi, LocalSurface fall, double[] at, double value, double[] normal, double[] tangent,
        double multiplier)
    {
        if (!(multiplier > 0))
            return null;
        var n = at.Length;
        var bend = fall.Quick(at, fall.Value(at), Step).Hessian;
        var curve = Differences.Quick(psi, at, value, Step).Hessian;
        var system = Matrix<double>.Build.Dense(n + 1, n + 1);
        var right = Vector<double>.Build.Dense(n + 1);
        for (var i = 0; i < n; i++)
        {
            for (var j = 0; j < n; j++)
                system[i, j] = -(curve[i, j] + multiplier * bend[i, j]);
            system[i, n] = system[n, i] = normal[i];
            right[i] = tangent[i];
        }

        var solved = system.Solve(right);
        var move = solved.Take(n).ToArray();
        return Array.TrueForAll(move, double.IsFinite) && Dot(move, tangent) > 0 ? move : null;
    }

    /// <summary>On a sphere with a linear quantity this leads to the extreme at once.</summary>
    private static double[] PlainMove(double[] at, double[] tangent, double along, double multiplier)
    {
        var factor = multiplier > 0 ? 1 / multiplier : Norm(at) / along;
        return [.. tangent.Select(t => t * factor)];
    }

    /// <summary>Where the ray through a point leaves the region, by the secant on the signed root sqrt(2 (l_max - l)), kept
    /// in a bracket; null when it does not leave (endless), or runs over the end of the parameters' domain before.</summary>
    private double[]? OnEdge(double[] through, double start, out bool isEndless, CancellationToken cancellationToken)
    {
        isEndless = false;
        var norm = Norm(through);
        var ray = through.Select(x => x / norm).ToArray();
        var tolerance = 1e-11 + 8e-16 * Math.Abs(maximum.Value) / drop;
        double inside = 0, outside = double.PositiveInfinity, radius = start;
        double before = 0, rootBefore = 0;
        for (var i = 0; i < MostRaySteps; i++)
        {
            var at = ray.Select(x => x * radius).ToArray();
            var value = surface.At(maximum.PointAt(at), cancellationToken);
            double next;
            if (double.IsFinite(value))
            {
                var root = Math.Sqrt(2 * Math.Max(maximum.Value - value, 0));
                if (root < _target)
                    inside = radius;
                else
                    outside = radius;
                if (Math.Abs(root - _target) <= tolerance * _target
                    || (root > 0.5 * _target && outside - inside <= 1e-12 * radius))
                {
                    return at;
                }

                // The root is nearly a line in the radius.
                next = radius + (_target - root) * (radius - before) / (root - rootBefore);
                (before, rootBefore) = (radius, root);
            }
            else
            {
                outside = radius;
                next = double.NaN;
                if (outside - inside < 1e-6 * outside)
                    return null;
            }

            if (!(next > inside && next < outside))
                next = double.IsInfinity(outside) ? 2 * radius : (inside + outside) / 2;
            if (next > FarAway * _target)
            {
                isEndless = true;
                return null;
            }

            radius = next;
        }

        return null;
    }

    private static double Dot(double[] a, double[] b)
    {
        double sum = 0;
        for (var i = 0; i < a.Length; i++)
            sum += a[i] * b[i];
        return sum;
    }

    private static double Norm(double[] a) => Math.Sqrt(Dot(a, a));
}
