namespace Reliability.Engine.Nonparametric;

/// <summary>
/// The masses that maximise the likelihood of lives known between ages (Turnbull 1976; Gentleman and Geyer 1994 for the
/// conditions of a maximum). Self-consistency alone would take very many steps, so a few are followed by a primal-dual
/// interior-point method (Nocedal and Wright 2006, 14 and 19; Koenker and Mizera 2014 for such methods in mixtures): it
/// needs some twenty to forty Newton steps whatever the sample, and none depends on guessing where there is no mass.
/// </summary>
internal static class TurnbullMaximiser
{
    /// <summary>Violation of the conditions at which the search ends: below it only rounding is left.</summary>
    private const double Goal = 1e-13;

    /// <summary>Greatest violation with which masses are given out.</summary>
    public const double Tolerance = 1e-9;

    private const int SelfConsistentSteps = 10;
    private const int GreatestSteps = 150;
    private const int StepsWithoutGain = 6;
    private const double PartOfTheWay = 0.995;

    /// <summary>Finds the masses.</summary>
    /// <param name="intervals">Intervals and the rows that cover them.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>Masses whose sum is 1, with 0 where there is none, and how far they are from a maximum.</returns>
    public static TurnbullMasses Maximise(InnermostIntervals intervals, CancellationToken cancellationToken)
    {
        var likelihood = new CoverLikelihood(intervals);
        var size = likelihood.Size;
        var masses = new double[size];
        Array.Fill(masses, 1.0 / size);
        for (var step = 0; step < SelfConsistentSteps; step++)
        {
            likelihood.Set(masses);
            for (var j = 0; j < size; j++)
                masses[j] *= likelihood.Slope[j];
        }

        // A mass that self-consistency has all but given up may still be needed: the inner way starts inside.
        for (var j = 0; j < size; j++)
            masses[j] = Math.Max(masses[j], 1e-3 / size);
        var prices = new double[size];
        for (var j = 0; j < size; j++)
            prices[j] = 1 / (size * masses[j]);
        return Inward(intervals, likelihood, masses, prices, cancellationToken);
    }

    /// <summary>
    /// Newton steps on: slope + price = 1 and mass * price = target, with the target going to 0. Where the price ends above
    /// the mass there is none.
    /// </summary>
    private static TurnbullMasses Inward(
        InnermostIntervals intervals, CoverLikelihood likelihood, double[] masses, double[] prices,
        CancellationToken cancellationToken)
    {
        var size = likelihood.Size;
        var system = new CurvatureSystem(intervals);
        var (diagonal, rightSide, step) = (new double[size], new double[size], new double[size]);
        var best = Cleared(likelihood, masses, prices, new double[size]);
        var withoutGain = 0;
        var centring = 0.2;
        for (var count = 0; count < GreatestSteps && best.Violation > Goal && withoutGain < StepsWithoutGain; count++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            likelihood.Set(masses);
            var target = centring * Product(masses, prices) / size;
            for (var j = 0; j < size; j++)
            {
                diagonal[j] = prices[j] / masses[j];
                rightSide[j] = likelihood.Slope[j] - 1 + target / masses[j];
            }

            system.Set(likelihood.Covered, diagonal);
            system.Solve(rightSide, step, 1e-8, cancellationToken);
            double massLength = 1, priceLength = 1;
            for (var j = 0; j < size; j++)
            {
                // rightSide is not needed any more: it takes the step of the prices.
                rightSide[j] = target / masses[j] - prices[j] - diagonal[j] * step[j];
                if (step[j] < 0)
                    massLength = Math.Min(massLength, -PartOfTheWay * masses[j] / step[j]);
                if (rightSide[j] < 0)
                    priceLength = Math.Min(priceLength, -PartOfTheWay * prices[j] / rightSide[j]);
            }

            for (var j = 0; j < size; j++)
            {
                masses[j] += massLength * step[j];
                prices[j] += priceLength * rightSide[j];
            }

            var shortest = Math.Min(massLength, priceLength);
            centring = shortest > 0.9 ? 0.02 : shortest > 0.5 ? 0.1 : 0.4;
            var found = Cleared(likelihood, masses, prices, rightSide);
            withoutGain = found.Violation < best.Violation || found.Violation > Tolerance ? 0 : withoutGain + 1;
            if (found.Violation < best.Violation)
                best = found with { Masses = [.. found.Masses] };
        }

        return best;
    }

    /// <summary>The masses with 0 where there is none, as shares of 1.</summary>
    private static TurnbullMasses Cleared(CoverLikelihood likelihood, double[] masses, double[] prices, double[] cleared)
    {
        var total = 0.0;
        for (var j = 0; j < masses.Length; j++)
        {
            cleared[j] = masses[j] >= prices[j] ? masses[j] : 0;
            total += cleared[j];
        }

        for (var j = 0; j < masses.Length; j++)
            cleared[j] /= total;
        likelihood.Set(cleared);
        var violation = likelihood.Violation(cleared);
        return new TurnbullMasses(
            cleared, double.IsFinite(violation) ? violation : double.PositiveInfinity, likelihood.LogLikelihood);
    }

    private static double Product(double[] a, double[] b)
    {
        var sum = 0.0;
        for (var j = 0; j < a.Length; j++)
            sum += a[j] * b[j];
        return sum;
    }
}
