namespace Reliability.Plots.Sheets;

/// <summary>Round distances between ticks: 1, 2 or 5 times a power of ten.</summary>
internal static class RoundStep
{
    /// <summary>The smallest round distance that divides a span into no more than so many parts.</summary>
    public static double For(double span, int parts)
    {
        double least = span / parts;
        double power = Math.Pow(10, Math.Floor(Math.Log10(least)));
        foreach (double factor in (double[])[1, 2, 5])
        {
            if (factor * power >= least)
                return factor * power;
        }
        return 10 * power;
    }
}
