namespace Reliability.Engine.Prediction;

/// <summary>
/// A density of one peak as equally spaced nodes: the trapezoidal rule, which for smooth densities that die away on both sides is
/// right to rounding already at steps of a fraction of a standard deviation (Trefethen and Weideman, SIAM Review 56, 2014).
/// </summary>
internal sealed class LogDensityGrid
{
    // Beyond this fall from the peak (in logs) nothing is left.
    private const double Fall = 34;
    private const int MostNodes = 600, MostSteps = 200;
    private const double MostReach = 700;

    private LogDensityGrid(double[] at, double[] weights, double logMass) => (At, Weights, LogMass) = (at, weights, logMass);

    /// <summary>Positions, rising.</summary>
    public double[] At { get; }

    /// <summary>Share of the density at each; they sum to 1.</summary>
    public double[] Weights { get; }

    /// <summary>Mean of the position. Unlike the highest node it does not depend on where the nodes happen to lie.</summary>
    public double Mean => At.Zip(Weights, (at, weight) => at * weight).Sum();

    /// <summary>Logarithm of the integral of the density.</summary>
    public double LogMass { get; }

    /// <summary>Lays nodes over a density.</summary>
    /// <param name="log">Its logarithm; anything but a number above negative infinity counts as 0 density.</param>
    /// <param name="start">Where to look for the peak.</param>
    /// <param name="width">A guess of its width.</param>
    /// <param name="spacing">Distance of nodes in standard deviations.</param>
    /// <returns>The nodes, or null when there is no peak.</returns>
    /// <remarks>
    /// A side on which the density rises again before it has died away ends at its lowest point there: the prior has no finite mass
    /// on that side, and what lies beyond says nothing of the lives.
    /// </remarks>
    public static LogDensityGrid? Over(Func<double, double> log, double start, double width, double spacing)
    {
        double Value(double x) => log(x) is var value && double.IsNaN(value) ? double.NegativeInfinity : value;

        if (Peak(Value, start, width) is not var (peak, height))
            return null;
        if (Reach(Value, peak, height, -1, width) is not { } left || Reach(Value, peak, height, 1, width) is not { } right)
            return null;
        var step = spacing * (left + right) / 4;
        var side = new List<(double At, double Log)>();
        Walk(-1);
        side.Reverse();
        side.Add((peak, height));
        Walk(1);

        var sum = side.Sum(node => Math.Exp(node.Log - height));
        return double.IsFinite(sum)
            ? new([.. side.Select(node => node.At)], [.. side.Select(node => Math.Exp(node.Log - height) / sum)], height + Math.Log(sum * step))
            : null;

        void Walk(int sign)
        {
            var last = height;
            for (var i = 1; i <= MostNodes; i++)
            {
                var at = peak + sign * i * step;
                var value = Value(at);
                if (value < height - Fall || (value > last && last < height - 1))
                    return;
                side.Add((at, value));
                last = value;
            }
        }
    }

    /// <summary>The highest point, near enough to measure the width from it.</summary>
    private static (double At, double Log)? Peak(Func<double, double> log, double start, double width)
    {
        double middle = start, height = log(start);
        if (!double.IsFinite(height))
            return null;
        double low = middle - width, high = middle + width;
        double lowLog = log(low), highLog = log(high);
        for (var i = 0; i < MostSteps && (lowLog > height || highLog > height); i++)
        {
            var stride = Math.Min(2 * (high - low), 8 * width);
            if (lowLog > highLog)
                (high, highLog, middle, height, low) = (middle, height, low, lowLog, low - stride);
            else
                (low, lowLog, middle, height, high) = (middle, height, high, highLog, high + stride);
            if (Math.Abs(middle - start) > MostReach)
                return null;
            if (low < middle && high > middle)
                (lowLog, highLog) = (middle == high ? lowLog : log(low), log(high));
        }

        if (lowLog > height || highLog > height)
            return null;
        for (var i = 0; i < MostSteps && height - Math.Min(lowLog, highLog) > 0.5; i++)
        {
            var isLeft = middle - low > high - middle;
            var at = isLeft ? middle - (middle - low) / 3 : middle + (high - middle) / 3;
            var value = log(at);
            if (value > height)
            {
                if (isLeft)
                    (high, highLog) = (middle, height);
                else
                    (low, lowLog) = (middle, height);
                (middle, height) = (at, value);
            }
            else if (isLeft)
            {
                (low, lowLog) = (at, value);
            }
            else
            {
                (high, highLog) = (at, value);
            }
        }

        return (middle, height);
    }

    /// <summary>How far from the peak the logarithm has fallen by 2: two standard deviations of a normal density.</summary>
    private static double? Reach(Func<double, double> log, double peak, double height, int sign, double width)
    {
        const double Drop = 2;
        double inside = 0, outside = width;
        var last = height;
        for (var i = 0; i < MostSteps; i++)
        {
            var value = log(peak + sign * outside);
            if (value < height - Drop)
                break;
            // No longer falling: the side has no end, and the step is measured where it turned.
            if (value > last && last < height)
                return inside > 0 ? inside : outside;
            (inside, last) = (outside, value);
            outside *= 2;
            if (outside > MostReach)
                return null;
        }

        for (var i = 0; i < 6 || inside == 0; i++)
        {
            var at = (inside + outside) / 2;
            if (at == outside || i > MostSteps)
                return null;
            if (log(peak + sign * at) < height - Drop)
                outside = at;
            else
                inside = at;
        }

        return (inside + outside) / 2;
    }
}
