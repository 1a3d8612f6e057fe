using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Families;

/// <summary>
/// The parameters of a family that are estimated, on the scales where they are unbounded, beside those held at a value.
/// </summary>
internal sealed class FreeParameters
{
    // In standard errors: so near the estimate quantities are nearly lines, and differences keep their digits.
    private const double Step = 0.05;
    private readonly IReadOnlyList<ParameterDescription> _all;
    private readonly double[] _held;
    private readonly int[] _free;

    /// <param name="all">All parameters of the family, in order.</param>
    /// <param name="held">Those held, by name.</param>
    public FreeParameters(IReadOnlyList<ParameterDescription> all, IReadOnlyDictionary<string, double> held)
    {
        _all = all;
        _held = [.. all.Select(p => held.TryGetValue(p.Name, out var value) ? value : double.NaN)];
        _free = [.. Enumerable.Range(0, all.Count).Where(i => double.IsNaN(_held[i]))];
    }

    /// <summary>How many are estimated.</summary>
    public int Count => _free.Length;

    /// <summary>Index of an estimated parameter among all.</summary>
    public int IndexOf(int free) => _free[free];

    /// <summary>Description of an estimated parameter.</summary>
    public ParameterDescription Describe(int free) => _all[_free[free]];

    /// <summary>All parameters on their natural scale.</summary>
    public double[] Natural(ReadOnlySpan<double> point)
    {
        var natural = (double[])_held.Clone();
        for (var i = 0; i < _free.Length; i++)
            natural[_free[i]] = Back(_all[_free[i]], point[i]);
        return natural;
    }

    /// <summary>Whether all parameters, on their natural scale, lie in their domains.</summary>
    public bool Allow(ReadOnlySpan<double> natural)
    {
        for (var i = 0; i < natural.Length; i++)
        {
            if (!_all[i].Allows(natural[i]))
                return false;
        }

        return true;
    }

    /// <summary>The estimated ones on their unbounded scale.</summary>
    public double[] Point(ReadOnlySpan<double> natural)
    {
        var point = new double[_free.Length];
        for (var i = 0; i < point.Length; i++)
            point[i] = Forth(_all[_free[i]], natural[_free[i]]);
        return point;
    }

    /// <summary>A quantity at an estimate with its standard error by the delta method (Meeker and Escobar 1998, B.2), both on the scale of
    /// its bounds. The error is NaN where nothing that was estimated moves the quantity: a parameter at its border has none.</summary>
    /// <param name="quantity">The quantity.</param>
    /// <param name="point">The estimate on the unbounded scales.</param>
    /// <param name="root">A matrix whose product with its own transpose is the estimate's covariance there.</param>
    public (double Centre, double Error) AtEstimate(FamilyQuantity quantity, double[] point, double[,] root)
    {
        var origin = new double[Count];
        var (centre, gradient) = Differences.Foretold(
            f => (f(origin), Differences.Gradient(f, origin, Step)), a => At(quantity, Moved(point, root, a)), Expecting(quantity, a => Moved(point, root, a)));
        var error = Math.Sqrt(gradient.Sum(g => g * g));
        return (centre, error == 0 ? double.NaN : error);
    }

    /// <summary>What tells a family in another process at which points a quantity will be asked; null where that is of no use.</summary>
    /// <param name="quantity">The quantity.</param>
    /// <param name="place">From coordinates to the unbounded scales.</param>
    public Action<IReadOnlyList<double[]>>? Expecting(FamilyQuantity quantity, Func<double[], double[]> place) =>
        quantity.Expect is { } expect ? points => expect(Members(points.Select(place))) : null;

    /// <summary>The members at points on the unbounded scales, without those that are none.</summary>
    public IReadOnlyList<double[]> Members(IEnumerable<double[]> points) =>
        [.. points.Select(point => Natural(point)).Where(natural => Allow(natural))];

    /// <summary>A quantity on the scale of its bounds; NaN outside of the parameters' domains, where nothing is asked of the family.</summary>
    public double At(FamilyQuantity quantity, ReadOnlySpan<double> point)
    {
        var natural = Natural(point);
        return Allow(natural) ? quantity.Transformed(natural) : double.NaN;
    }

    /// <summary>from + root a.</summary>
    public static double[] Moved(ReadOnlySpan<double> from, double[,] root, ReadOnlySpan<double> a)
    {
        var point = from.ToArray();
        for (var i = 0; i < point.Length; i++)
        {
            for (var k = 0; k < a.Length; k++)
                point[i] += root[i, k] * a[k];
        }

        return point;
    }

    /// <summary>Derivative of the natural number by the unbounded one.</summary>
    public double Slope(int free, double at)
    {
        var p = Describe(free);
        return p.Transform switch
        {
            ParameterTransform.Log => Math.Exp(at),
            ParameterTransform.Logit => (p.Upper - p.Lower) * Math.Exp(-Math.Abs(at)) / Math.Pow(1 + Math.Exp(-Math.Abs(at)), 2),
            _ => 1,
        };
    }

    private static double Back(ParameterDescription p, double at) => p.Transform switch
    {
        ParameterTransform.Log => p.Lower + Math.Exp(at),
        ParameterTransform.Logit => p.Lower + (p.Upper - p.Lower) / (1 + Math.Exp(-at)),
        _ => at,
    };

    private static double Forth(ParameterDescription p, double natural) => p.Transform switch
    {
        ParameterTransform.Log => Math.Log(natural - p.Lower),
        ParameterTransform.Logit => Math.Log((natural - p.Lower) / (p.Upper - natural)),
        _ => natural,
    };
}
