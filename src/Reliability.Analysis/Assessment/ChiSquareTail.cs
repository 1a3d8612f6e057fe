namespace Reliability.Analysis;

/// <summary>The upper tail of chi-square with whole degrees of freedom (Abramowitz and Stegun 26.4.4-5).</summary>
internal static class ChiSquareTail
{
    public static double Of(int degreesOfFreedom, double statistic)
    {
        if (statistic <= 0)
            return 1;
        var half = statistic / 2;
        double tail, term;
        int from;
        if (degreesOfFreedom % 2 == 0)
        {
            (tail, term, from) = (Math.Exp(-half), Math.Exp(-half), 2);
        }
        else
        {
            tail = NormalTwoSided(Math.Sqrt(statistic));
            term = Math.Sqrt(2 / Math.PI) * Math.Exp(-half) / Math.Sqrt(statistic);
            from = 1;
        }

        for (var k = from; k < degreesOfFreedom; k += 2)
        {
            term *= statistic / k;
            tail += term;
        }

        return Math.Min(tail, 1);
    }

    /// <summary>P(|Z| &gt; z) by the continued fraction of the tail above 2, by the series below (Abramowitz and Stegun 26.2.10, 26.2.14).</summary>
    private static double NormalTwoSided(double z)
    {
        if (z < 2.5)
        {
            double term = z, sum = z;
            for (var k = 1; Math.Abs(term) > 1e-18 * sum && k < 200; k++)
            {
                term *= z * z / (2 * k + 1);
                sum += term;
            }

            return 1 - 2 * sum * Math.Exp(-z * z / 2) / Math.Sqrt(2 * Math.PI);
        }

        var fraction = z;
        for (var k = 120; k > 0; k--)
            fraction = z + k / fraction;
        return 2 * Math.Exp(-z * z / 2) / (Math.Sqrt(2 * Math.PI) * fraction);
    }
}
