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
/// out is an extreme or nothing; an error in the direction matters to second order only. A region that is long and bent has several extremes along its edge:
/// the walk begins at the best of some places all around, and one that ends on the wrong side of the estimate found nothing.
/// </remarks>
internal sealed class FamilyRegion(Surface surface, FamilyMaximum maximum, double drop) : IFamilyBounds
{
    private const double FarAway = 1e7;
    private const int MostRaySteps = 80;
    private const int MostSteps = 60;
    private const int MostHalvings = 12;
    private const double Step = 0.05;

    // How much of the quantity's slope may lie along the edge where it is taken for extreme; and where steps that do not gain are no more tried.
    private const double Tolerance = 3e-6, Doubtful = 1e-2, Settled = 1e-4;
    private const int MostSettledHalvings = 2;

    // Places around the edge: so many directions in a plane, found to so much of the radius.
    private const int Directions = 16;
    private const double Roughly = 0.05;

    private IReadOnlyList<double[]>? _places;

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
        var (centre, value) = (Psi(origin), Psi(at));
        expecting?.Invoke(Places(cancellationToken));
        if (Places(cancellationToken).MaxBy(place => Psi(place) is var there && double.IsFinite(there) ? there : double.NegativeInfinity) is { } best
            && Psi(best) > value && OnEdge(best, Norm(best), out _, cancellationToken) is { } better && Psi(better) > value)
        {
            (at, value) = (better, Psi(better));
        }

        var extreme = Walk(Psi, fall, expecting, at, value, cancellationToken);
        return extreme.Value < centre ? FamilyBound.NotFound : new FamilyBound(sign * extreme.Value, extreme.IsEndless);
    }

    /// <summary>Along the edge to where a quantity is greatest.</summary>
    private FamilyBound Walk(
        Func<double[], double> psi, LocalSurface fall, Action<IReadOnlyList<double[]>>? expecting, double[] at, double value,
        CancellationToken cancellationToken)
    {
        var n = at.Length;
        for (var i = 0; i < MostSteps; i++)
        {
            if (!double.IsFinite(value))
                return FamilyBound.NotFound;
            if (n == 1)
                return FamilyBound.At(value);
            expecting?.Invoke(LocalSurface.Around(at, Step));
            fall.Foretell(at, Step);
            var normal = fall.Gradient(at, Step).Select(g => -g).ToArray();
            var slope = Differences.Gradient(psi, at, Step);
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
                return FamilyBound.At(value);

            var move = NewtonMove(psi, fall, at, value, normal, tangent, outward / steepness)
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
                gained = psi(found);
                if (gained > value || (share < Settled && halvings >= MostSettledHalvings))
                    break;
            }

            if (found is null)
                return isEndless ? FamilyBound.Endless : FamilyBound.NotFound;
            if (!(gained > value))
                return share < Doubtful ? FamilyBound.At(value) : FamilyBound.NotFound;
            (at, value) = (found, gained);
        }

        return FamilyBound.NotFound;
    }

    /// <summary>Places all around, nearly on the edge; none in directions in which it has no end.</summary>
    private IReadOnlyList<double[]> Places(CancellationToken cancellationToken)
    {
        if (_places is not null)
            return _places;
        List<double[]> directions = [];
        var n = surface.Dimensions;
        for (var k = 0; k < Directions && n == 2; k++)
            directions.Add([Math.Cos(2 * Math.PI * k / Directions), Math.Sin(2 * Math.PI * k / Directions)]);
        for (var i = 0; i < n && n > 2; i++)
        {
            for (var j = 0; j < i; j++)
            {
                foreach (var (one, other) in ((double, double)[])[(1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (1, -1), (-1, 1), (-1, -1)])
                {
                    var direction = new double[n];
                    (direction[i], direction[j]) = (one, other);
                    if (!directions.Exists(known => known.AsSpan().SequenceEqual(direction)))
                        directions.Add(direction);
                }
            }
        }

        surface.Expecting(a => maximum.PointAt(a))?.Invoke([.. directions.Select(d => d.Select(x => x * _target / Norm(d)).ToArray())]);
        return _places = [.. directions.Select(direction => OnEdge(direction, _target, out _, cancellationToken, Roughly)).OfType<double[]>()];
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
    private double[]? OnEdge(double[] through, double start, out bool isEndless, CancellationToken cancellationToken, double roughly = 0)
    {
        isEndless = false;
        var norm = Norm(through);
        var ray = through.Select(x => x / norm).ToArray();
        var tolerance = roughly + 1e-11 + 8e-16 * Math.Abs(maximum.Value) / drop;
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
