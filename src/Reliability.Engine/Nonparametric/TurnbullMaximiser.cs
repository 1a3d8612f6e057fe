using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Nonparametric;

/// <summary>
/// The hazards that maximise the likelihood of lives known between ages (Turnbull 1976), with late entry (Frydman 1994). The
/// log-likelihood is concave in them, so that the conditions of a maximum are enough. Self-consistency would take very many steps; a
/// primal-dual interior-point method (Nocedal and Wright 2006, 14 and 19) needs some twenty to forty Newton steps whatever the
/// sample, and none depends on guessing where there is no hazard. Everything is measured in parts of what each interval starts
/// with, so that counts may lie many powers of ten apart.
/// </summary>
internal static class TurnbullMaximiser
{
    /// <summary>Violation of the conditions at which the search ends: below it only rounding is left.</summary>
    private const double Goal = 1e-13;

    /// <summary>Greatest violation with which hazards are given out.</summary>
    public const double Tolerance = 1e-9;

    private const int GreatestSteps = 200;
    private const int StepsWithoutGain = 6;
    private const double PartOfTheWay = 0.995;

    /// <summary>Finds the hazards.</summary>
    /// <param name="intervals">Intervals and the rows that cover them.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>Hazards, with 0 where there is none, and how far they are from a maximum.</returns>
    public static TurnbullHazards Maximise(InnermostIntervals intervals, CancellationToken cancellationToken)
    {
        var likelihood = new HazardLikelihood(intervals);
        var spread = Spread(intervals);
        var (hazards, prices) = (new double[likelihood.Size], new double[likelihood.Size]);
        for (var j = 0; j < hazards.Length; j++)
        {
            hazards[j] = NearZero.Log1p(spread[j] / intervals.Costs[j]);
            prices[j] = intervals.Costs[j];
        }

        var found = Inward(intervals, likelihood, spread, hazards, prices, cancellationToken);
        return intervals.AllFailInLast ? found with { Hazards = [.. found.Hazards, double.PositiveInfinity] } : found;
    }

    /// <summary>Each row's weight, spread evenly over the intervals that it covers.</summary>
    private static double[] Spread(InnermostIntervals intervals)
    {
        var changes = new CompensatedSum[intervals.Costs.Length + 1];
        for (var i = 0; i < intervals.Weights.Length; i++)
        {
            var part = intervals.Weights[i] / (intervals.Last[i] - intervals.First[i] + 1);
            changes[intervals.First[i]].Add(part);
            changes[intervals.Last[i] + 1].Add(-part);
        }

        CompensatedSum sum = default;
        var spread = new double[intervals.Costs.Length];
        for (var j = 0; j < spread.Length; j++)
        {
            sum.Add(changes[j]);
            spread[j] = sum.Value;
        }

        return spread;
    }

    /// <summary>
    /// Newton steps on: cost - slope = price and hazard * price = target, with the target going to 0. Where the price ends above the
    /// hazard, each in parts of what it began with, there is none.
    /// </summary>
    private static TurnbullHazards Inward(
        InnermostIntervals intervals, HazardLikelihood likelihood, double[] spread, double[] hazards, double[] prices,
        CancellationToken cancellationToken)
    {
        var size = likelihood.Size;
        var system = new CurvatureSystem(intervals.First, intervals.Last, size);
        var curvatures = new double[intervals.Weights.Length];
        var (diagonal, rightSide, step, target) = (new double[size], new double[size], new double[size], new double[size]);
        var best = Cleared(intervals, likelihood, spread, hazards, prices, new double[size]);
        var withoutGain = 0;
        var centring = 0.2;
        for (var count = 0; count < GreatestSteps && best.Violation > Goal && withoutGain < StepsWithoutGain; count++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            likelihood.Set(hazards);
            likelihood.Curvatures(curvatures);
            var mean = 0.0;
            for (var j = 0; j < size; j++)
                mean += hazards[j] * prices[j] / spread[j] / size;
            for (var j = 0; j < size; j++)
            {
                target[j] = centring * mean * spread[j] / hazards[j];
                diagonal[j] = prices[j] / hazards[j];
                rightSide[j] = likelihood.Slope[j] - intervals.Costs[j] + target[j];
            }

            system.Set(curvatures, diagonal);
            system.Solve(rightSide, step, 1e-8, cancellationToken);
            double hazardLength = 1, priceLength = 1;
            for (var j = 0; j < size; j++)
            {
                // rightSide is not needed any more: it takes the step of the prices.
                rightSide[j] = target[j] - prices[j] - diagonal[j] * step[j];
                if (step[j] < 0)
                    hazardLength = Math.Min(hazardLength, -PartOfTheWay * hazards[j] / step[j]);
                if (rightSide[j] < 0)
                    priceLength = Math.Min(priceLength, -PartOfTheWay * prices[j] / rightSide[j]);
            }

            for (var j = 0; j < size; j++)
            {
                hazards[j] += hazardLength * step[j];
                prices[j] += priceLength * rightSide[j];
            }

            var shortest = Math.Min(hazardLength, priceLength);
            centring = shortest > 0.9 ? 0.02 : shortest > 0.5 ? 0.1 : 0.4;
            var found = Cleared(intervals, likelihood, spread, hazards, prices, rightSide);
            withoutGain = found.Violation < best.Violation || found.Violation > Tolerance ? 0 : withoutGain + 1;
            if (found.Violation < best.Violation)
                best = found with { Hazards = [.. found.Hazards] };
        }

        return best;
    }

    /// <summary>The hazards with 0 where there is none.</summary>
    private static TurnbullHazards Cleared(
        InnermostIntervals intervals, HazardLikelihood likelihood, double[] spread, double[] hazards, double[] prices, double[] cleared)
    {
        for (var j = 0; j < hazards.Length; j++)
        {
            var cost = intervals.Costs[j];
            cleared[j] = hazards[j] * cost / spread[j] >= prices[j] / cost ? hazards[j] : 0;
        }

        likelihood.Set(cleared);
        return new TurnbullHazards(cleared, likelihood.Violation(cleared), likelihood.LogLikelihood(cleared));
    }
}
