namespace Reliability.Engine.Prediction;

/// <summary>
/// A density of one peak as equally spaced nodes: the trapezoidal rule, which for smooth densities that die away on both sides is
/// right to rounding already at steps of a fraction of a standard deviation (Trefethen and Weideman, SIAM Review 56, 2014).
/// </summary>
internal sealed class LogDensityGrid
{
    // Beyond this fall from the peak (in logs) nothing is left.
    private const double Fall = 36;
    private const int MostNodes = 600, MostSteps = 200;
    private const double MostReach = 700;

    // What the rule leaves out is at least squared when the spacing is halved: every second node within this of the others says that all
    // together are within 1e-9.
    private const double HalvesAgree = 3e-5;
    private const int MostHalvings = 4;

    private LogDensityGrid(double[] at, double[] logs, double step)
    {
        (At, Step) = (at, step);
        var height = logs.Max();
        Weights = Array.ConvertAll(logs, log => Math.Exp(log - height));
        var sum = Weights.Sum();
        LogMass = height + Math.Log(sum * step);
        for (var i = 0; i < Weights.Length; i++)
            Weights[i] /= sum;
    }

    /// <summary>Positions, rising.</summary>
    public double[] At { get; }

    /// <summary>Share of the density at each; they sum to 1.</summary>
    public double[] Weights { get; }

    /// <summary>Mean of the position. Unlike the highest node it does not depend on where the nodes happen to lie.</summary>
    public double Mean => At.Zip(Weights, (at, weight) => at * weight).Sum();

    /// <summary>Distance of neighbouring nodes.</summary>
    public double Step { get; }

    /// <summary>Logarithm of the integral of the density.</summary>
    public double LogMass { get; }

    /// <summary>The density times a factor, at the same nodes: for factors that change little over the width of the density.</summary>
    /// <param name="logFactor">Logarithm of the factor.</param>
    public LogDensityGrid Times(Func<double, double> logFactor) =>
        new(At, [.. At.Zip(Weights, (at, weight) => LogMass + Math.Log(weight / Step) + logFactor(at))], Step);

    /// <summary>Lays nodes over a density.</summary>
    /// <param name="log">Its logarithm; anything but a number above negative infinity counts as 0 density.</param>
    /// <param name="start">Where to look for the peak.</param>
    /// <param name="width">A guess of its width.</param>
    /// <param name="spacing">Distance of nodes in standard deviations, as the curvature at the peak gives them; halved until it is fine enough.</param>
    /// <returns>The nodes, or null when there is no peak.</returns>
    /// <remarks>
    /// A side on which the density rises again before it has died away ends at its lowest point there: the prior has no finite mass
    /// on that side, and what lies beyond says nothing of the lives.
    /// </remarks>
    public static LogDensityGrid? Over(Func<double, double> log, double start, double width, double spacing)
    {
        var known = new Dictionary<double, double>();
        double Value(double x)
        {
            if (!known.TryGetValue(x, out var value))
                known[x] = value = log(x) is var found && double.IsNaN(found) ? double.NegativeInfinity : found;
            return value;
        }

        if (Peak(Value, start, width, spacing) is not var (peak, height, step))
            return null;
        List<double> at = [], logs = [];
        var diesAway = Walk(-1);
        at.Reverse();
        logs.Reverse();
        at.Add(peak);
        logs.Add(height);
        diesAway &= Walk(1);

        // Where a side is cut off finer nodes would not bring more digits.
        for (var i = 0; i < MostHalvings && diesAway && !HalvesAreAlike(logs, height); i++, step /= 2)
            Halve(at, logs, Value);
        return logs.TrueForAll(value => value < double.PositiveInfinity) ? new([.. at], [.. logs], step) : null;

        bool Walk(int sign)
        {
            var last = height;
            for (var i = 1; i <= MostNodes; i++)
            {
                var place = peak + sign * i * step;
                var value = Value(place);
                if (value < height - Fall)
                    return true;
                if (value > last && last < height - 1)
                    return false;
                at.Add(place);
                logs.Add(value);
                last = value;
            }

            return false;
        }
    }

    /// <summary>Whether every second node gives the mass and the mean that the others give: where one happens to agree the other does not.</summary>
    private static bool HalvesAreAlike(List<double> logs, double height)
    {
        double sum = 0, mass = 0, mean = 0, sign = 1;
        var top = logs.IndexOf(height);
        for (var i = 0; i < logs.Count; i++, sign = -sign)
        {
            var density = Math.Exp(logs[i] - height);
            sum += density;
            mass += sign * density;
            mean += sign * density * (i - top);
        }

        return Math.Abs(mass) + Math.Abs(mean) <= HalvesAgree * sum;
    }

    private static void Halve(List<double> at, List<double> logs, Func<double, double> log)
    {
        for (var i = at.Count - 1; i > 0; i--)
        {
            var between = (at[i - 1] + at[i]) / 2;
            at.Insert(i, between);
            logs.Insert(i, log(between));
        }
    }

    /// <summary>A place by the peak, and the step there: climbs, and measures the width by three places once they stand around the peak.</summary>
    private static (double At, double Log, double Step)? Peak(Func<double, double> log, double start, double width, double spacing)
    {
        const double TooFine = 0.5, TooCoarse = 1.25, Flat = 1e-4;
        double at = start, height = log(start), step = width * spacing;
        if (!double.IsFinite(height))
            return null;
        for (var i = 0; i < MostSteps && Math.Abs(at - start) <= MostReach; i++)
        {
            double below = log(at - step), above = log(at + step);
            if (Math.Max(below, above) is var higher && higher > height)
            {
                (at, height) = (below > above ? at - step : at + step, higher);

                // A long way to go.
                if (i % 4 == 3)
                    step *= 2;
                continue;
            }

            var bend = 2 * height - below - above;
            if (!double.IsFinite(bend))
            {
                step /= 8;
                continue;
            }

            if (bend < Flat * spacing * spacing)
            {
                step *= 8;
                continue;
            }

            var wanted = spacing * step / Math.Sqrt(bend);
            if (step < TooCoarse * wanted)
                return (at, height, step < TooFine * wanted ? wanted : step);
            step = wanted;
        }

        return null;
    }
}
