namespace Reliability.Engine.Prediction;

/// <summary>
/// A density of one peak as nodes: the trapezoidal rule, which for smooth densities that die away on both sides is right to rounding
/// already at steps of a fraction of a standard deviation (Trefethen and Weideman, SIAM Review 56, 2014). A density with a long tail
/// may be laid out in s, position = peak + step sinh(c s) / c: steps that are equal by the peak and grow with the distance from it.
/// </summary>
internal sealed class LogDensityGrid
{
    // Beyond this fall from the peak (in logs) nothing is left; a side that rises again may be cut off where less than a part in 1e9 is left.
    private const double Fall = 36, LeastCutOff = 23;
    private const int MostNodes = 1200, MostSteps = 200;

    // From the start to the peak, or so many widths.
    private const double MostReach = 700;

    // A side that needs more nodes of equal steps than this is laid out in growing ones.
    private const int MostEqual = 200;
    private const double Growth = 0.1;

    // What the rule leaves out is at least squared when the spacing is halved: every second node within this of the others says that all
    // together are within 1e-9.
    private const double HalvesAgree = 3e-5;

    private readonly double _peak;

    private LogDensityGrid(double peak, double[] at, double[] logs, double step)
    {
        (_peak, At, Step) = (peak, at, step);
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

    /// <summary>A node by the peak: a place to begin from for a density nearby.</summary>
    public double Peak => _peak;

    /// <summary>Distance of neighbouring nodes by the peak.</summary>
    public double Step { get; }

    /// <summary>Logarithm of the integral of the density.</summary>
    public double LogMass { get; }

    /// <summary>The density times a factor, at the same nodes: for factors that change little over the width of the density.</summary>
    /// <param name="logFactor">Logarithm of the factor.</param>
    public LogDensityGrid Times(Func<double, double> logFactor) =>
        new(_peak, At, [.. At.Zip(Weights, (at, weight) => LogMass + Math.Log(weight / Step) + logFactor(at))], Step);

    /// <summary>Lays nodes over a density.</summary>
    /// <param name="log">Its logarithm; negative infinity for none, not a number where it could not be had.</param>
    /// <param name="start">Where to look for the peak.</param>
    /// <param name="width">A guess of its width.</param>
    /// <param name="spacing">Distance of nodes in standard deviations, as the curvature at the peak gives them; halved until it is fine enough.</param>
    /// <param name="mayGrow">Whether steps may grow with the distance from the peak.</param>
    /// <returns>
    /// The nodes, or null: there is no peak, the mass cannot be had (a side does not die away, or rises again before it has), or as many nodes
    /// as are allowed do not give it to their digits.
    /// </returns>
    public static LogDensityGrid? Over(Func<double, double> log, double start, double width, double spacing, bool mayGrow = false)
    {
        var known = new Dictionary<double, double>();
        double Value(double x)
        {
            if (!known.TryGetValue(x, out var value))
                known[x] = value = log(x);
            return value;
        }

        if (FindPeak(Value, start, width, spacing) is not var (peak, height, step))
            return null;
        if (LaidOut(Value, peak, height, step, 0, mayGrow ? MostEqual : MostNodes / 2) is { } equal)
            return equal;
        return mayGrow ? LaidOut(Value, peak, height, step, Growth, MostNodes / 2) : null;
    }

    private static LogDensityGrid? LaidOut(Func<double, double> log, double peak, double height, double step, double growth, int most)
    {
        double Place(double s) => peak + step * (growth == 0 ? s : Math.Sinh(growth * s) / growth);
        double Density(double s) => log(Place(s)) + (growth == 0 ? 0 : Math.Log(Math.Cosh(growth * s)));

        List<double> places = [], logs = [];
        if (!Walk(-1))
            return null;
        places.Reverse();
        logs.Reverse();
        places.Add(0);
        logs.Add(height);
        if (!Walk(1))
            return null;

        var spacing = 1.0;
        while (!HalvesAreAlike(places, logs, height))
        {
            if (2 * places.Count > MostNodes || logs.Exists(double.IsNaN))
                return null;
            spacing /= 2;
            (places, logs) = Halved(places, logs, Density);
        }

        // Without what lies beyond the ends; null where halving met what is no number.
        var first = logs.FindIndex(value => !(value < height - Fall));
        var count = logs.FindLastIndex(value => !(value < height - Fall)) - first + 1;
        return logs.TrueForAll(value => value < double.PositiveInfinity)
            ? new(peak, [.. places.Skip(first).Take(count).Select(Place)], [.. logs.Skip(first).Take(count)], step * spacing)
            : null;

        bool Walk(int sign)
        {
            var last = height;
            for (var i = 1; i <= most; i++)
            {
                var value = Density(sign * i);
                var isGone = value < height - Fall;
                if (!isGone && !(value <= last || last >= height - 1))
                    return last < height - LeastCutOff;

                // The first node beyond the end too: the end may be steep, and halving looks between.
                places.Add(sign * i);
                logs.Add(value);
                if (isGone)
                    return true;
                last = value;
            }

            return false;
        }
    }

    /// <summary>Whether every second node gives the mass and the mean that the others give: where one happens to agree the other does not.</summary>
    private static bool HalvesAreAlike(List<double> places, List<double> logs, double height)
    {
        double sum = 0, mass = 0, mean = 0, sign = 1;
        var perNode = (places.Count - 1) / (places[^1] - places[0]);
        for (var i = 0; i < logs.Count; i++, sign = -sign)
        {
            var density = Math.Exp(logs[i] - height);
            sum += density;
            mass += sign * density;
            mean += sign * density * places[i] * perNode;
        }

        return Math.Abs(mass) + Math.Abs(mean) <= HalvesAgree * sum;
    }

    private static (List<double> Places, List<double> Logs) Halved(List<double> places, List<double> logs, Func<double, double> log)
    {
        List<double> all = new(2 * places.Count), allLogs = new(2 * places.Count);
        for (var i = 0; i < places.Count; i++)
        {
            if (i > 0)
            {
                var between = (places[i - 1] + places[i]) / 2;
                all.Add(between);
                allLogs.Add(log(between));
            }

            all.Add(places[i]);
            allLogs.Add(logs[i]);
        }

        return (all, allLogs);
    }

    /// <summary>A place by the peak, and the step there: climbs, and measures the width by three places once they stand around the peak.</summary>
    private static (double At, double Log, double Step)? FindPeak(Func<double, double> log, double start, double width, double spacing)
    {
        const double TooFine = 0.5, TooCoarse = 1.25, Flat = 1e-4;
        const int MostUnknown = 6;
        var unknown = 0;
        double at = start, height = log(start), step = width * spacing;
        if (!double.IsFinite(height))
            return null;
        for (var i = 0; i < MostSteps && Math.Abs(at - start) <= MostReach * Math.Max(1, width); i++)
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
            if (double.IsNaN(bend) && unknown++ == MostUnknown)
                return null;
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
