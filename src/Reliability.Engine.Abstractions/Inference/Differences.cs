namespace Reliability.Engine.Families;

/// <summary>
/// Derivatives of a function by central differences with Richardson's extrapolation. Steps are meant to be in units in
/// which the function bends by about 1 (standard errors, for a log-likelihood): then rounding and truncation both stay small.
/// </summary>
internal static class Differences
{
    // A domain that ends nearer than the step divided by two so often is taken to end at the point itself.
    private const int MostHalvings = 10;

    /// <summary>
    /// The gradient, from three step lengths. Where the function is no finite number a step away, as beyond the end of a domain, steps are
    /// halved until it is one on both sides, and differences are one-sided where it never is; not finite where that does not help.
    /// </summary>
    public static double[] Gradient(Func<double[], double> f, ReadOnlySpan<double> at, double step)
    {
        var gradient = new double[at.Length];
        var (centre, point) = (at.ToArray(), at.ToArray());
        for (var i = 0; i < gradient.Length; i++)
        {
            double Along(double h)
            {
                point[i] = centre[i] + h;
                return f(point);
            }

            gradient[i] = Slope(Along, step);
            point[i] = centre[i];
        }

        return gradient;
    }

    private static double Slope(Func<double, double> f, double step)
    {
        double Central(double h) => Extrapolated(Between(h), Between(h / 2), Between(h / 4));
        double Between(double h) => (f(h) - f(-h)) / (2 * h);

        var slope = Central(step);
        if (double.IsFinite(slope) || !double.IsFinite(f(0)))
            return slope;
        var shorter = step;
        for (var i = 0; i < MostHalvings; i++)
        {
            shorter /= 2;
            if (double.IsFinite(Between(shorter)))
                return Central(shorter);
        }

        return double.IsFinite(f(step)) ? OneSided(f, step) : OneSided(f, -step);
    }

    /// <summary>Differences to one side, extrapolated: their error falls with the step, its square, its cube and so on.</summary>
    private static double OneSided(Func<double, double> f, double step)
    {
        var centre = f(0);
        Span<double> slopes = stackalloc double[4];
        for (var k = 0; k < slopes.Length; k++, step /= 2)
            slopes[k] = (f(step) - centre) / step;
        for (var order = 1; order < slopes.Length; order++)
        {
            var power = 1 << order;
            for (var k = 0; k < slopes.Length - order; k++)
                slopes[k] = (power * slopes[k + 1] - slopes[k]) / (power - 1);
        }

        return slopes[0];
    }

    /// <summary>Runs differences of a function, telling first at which points they will ask it.</summary>
    /// <param name="differences">Any of these, or some of them.</param>
    /// <param name="f">The function.</param>
    /// <param name="expect">Takes the points; null where nobody wants to know.</param>
    public static T Foretold<T>(Func<Func<double[], double>, T> differences, Func<double[], double> f, Action<IReadOnlyList<double[]>>? expect)
    {
        if (expect is not null)
        {
            List<double[]> points = [];
            _ = differences(point =>
            {
                points.Add([.. point]);
                return 0;
            });
            expect(points);
        }

        return differences(f);
    }

    /// <summary>Gradient and Hessian from one step length; not finite where the function is not.</summary>
    public static (double[] Gradient, double[,] Hessian) Quick(
        Func<double[], double> f, ReadOnlySpan<double> at, double centre, double step)
    {
        var n = at.Length;
        var gradient = new double[n];
        var hessian = new double[n, n];
        var (above, below) = (new double[n], new double[n]);
        var point = at.ToArray();
        for (var i = 0; i < n; i++)
        {
            point[i] = at[i] + step;
            above[i] = f(point);
            point[i] = at[i] - step;
            below[i] = f(point);
            point[i] = at[i];
            gradient[i] = (above[i] - below[i]) / (2 * step);
            hessian[i, i] = (above[i] - 2 * centre + below[i]) / (step * step);
        }

        for (var i = 0; i < n; i++)
        {
            for (var j = i + 1; j < n; j++)
            {
                point[i] = at[i] + step;
                point[j] = at[j] + step;
                var both = f(point);
                point[i] = at[i] - step;
                point[j] = at[j] - step;
                var neither = f(point);
                point[i] = at[i];
                point[j] = at[j];
                hessian[i, j] = hessian[j, i] =
                    (both + neither - above[i] - below[i] - above[j] - below[j] + 2 * centre) / (2 * step * step);
            }
        }

        return (gradient, hessian);
    }

    /// <summary>The Hessian, from three step lengths.</summary>
    public static double[,] Hessian(Func<double[], double> f, ReadOnlySpan<double> at, double centre, double step)
    {
        var coarse = Quick(f, at, centre, step).Hessian;
        var middle = Quick(f, at, centre, step / 2).Hessian;
        var fine = Quick(f, at, centre, step / 4).Hessian;
        return Extrapolated(coarse, middle, fine);
    }

    /// <summary>The Hessian from gradients at one length of step; null where a gradient is.</summary>
    public static double[,]? OfGradient(Func<double[], double[]?> gradient, ReadOnlySpan<double> at, double step)
    {
        var n = at.Length;
        var hessian = new double[n, n];
        var point = at.ToArray();
        for (var i = 0; i < n; i++)
        {
            point[i] = at[i] + step;
            var above = gradient(point);
            point[i] = at[i] - step;
            var below = gradient(point);
            point[i] = at[i];
            if (above is null || below is null)
                return null;
            for (var j = 0; j < n; j++)
            {
                // Each of the two halves of what must be symmetric.
                var half = (above[j] - below[j]) / (4 * step);
                hessian[i, j] += half;
                hessian[j, i] += half;
            }
        }

        return hessian;
    }

    /// <summary>The same from three lengths of step.</summary>
    public static double[,]? ExtrapolatedOfGradient(Func<double[], double[]?> gradient, ReadOnlySpan<double> at, double step) =>
        OfGradient(gradient, at, step) is { } coarse && OfGradient(gradient, at, step / 2) is { } middle && OfGradient(gradient, at, step / 4) is { } fine
            ? Extrapolated(coarse, middle, fine)
            : null;

    private static double[,] Extrapolated(double[,] coarse, double[,] middle, double[,] fine)
    {
        var n = coarse.GetLength(0);
        var hessian = new double[n, n];
        for (var i = 0; i < n; i++)
        {
            for (var j = 0; j < n; j++)
                hessian[i, j] = Extrapolated(coarse[i, j], middle[i, j], fine[i, j]);
        }

        return hessian;
    }

    /// <summary>Two extrapolations of something whose error falls with the square of the step, at steps h, h/2, h/4.</summary>
    private static double Extrapolated(double coarse, double middle, double fine)
    {
        var first = (4 * middle - coarse) / 3;
        var second = (4 * fine - middle) / 3;
        return (16 * second - first) / 15;
    }
}
