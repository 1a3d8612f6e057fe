using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Families;

/// <summary>Where maximisations begin: where the family says, else the best of a grid of typical values.</summary>
internal static class StartingPoints
{
    private const int ThinnedRows = 300;

    /// <summary>The best few starts, best first; empty when the likelihood is nowhere finite.</summary>
    /// <param name="surface">The likelihood.</param>
    /// <param name="most">Most starts wanted.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static IReadOnlyList<double[]> Of(Surface surface, int most, CancellationToken cancellationToken)
    {
        var family = surface.Likelihood.Family;
        var own = family.Starts(surface.Likelihood.Sample)
            .Where(start => Allowed(family, start)).Select(start => surface.Parameters.Point(start)).ToList();
        var points = own.Count > 0 ? own : Grid(surface);
        var thinned = surface.Thinned(ThinnedRows);
        thinned.Expecting(point => point)?.Invoke(points);
        return
        [
            .. points.Select(p => (Point: p, Value: thinned.At(p, cancellationToken)))
                .Where(p => double.IsFinite(p.Value)).OrderByDescending(p => p.Value).Take(most).Select(p => p.Point),
        ];
    }

    /// <summary>How far a parameter moves in one step at most, about: a tenth of what matters.</summary>
    public static double Unit(ParameterDescription parameter, double typicalHours) =>
        parameter.Transform == ParameterTransform.Identity && parameter.Unit == "hours" ? 0.1 * typicalHours : 0.1;

    /// <summary>The geometric mean of the ages of failure, intervals at their middle.</summary>
    public static double TypicalHours(LifeSample sample)
    {
        double sum = 0, weight = 0;
        for (var i = 0; i < sample.RowCount; i++)
        {
            if (sample.Outcomes[i] == LifeOutcome.Survived)
                continue;
            sum += sample.Counts[i] * Math.Log(sample.LowerHours[i] / 2 + sample.UpperHours[i] / 2);
            weight += sample.Counts[i];
        }

        return Math.Exp(sum / weight);
    }

    private static bool Allowed(ILifeFamily family, double[] start) =>
        start.Length == family.Parameters.Count && start.Zip(family.Parameters).All(pair => pair.Second.Allows(pair.First));

    private static List<double[]> Grid(Surface surface)
    {
        var typical = TypicalHours(surface.Likelihood.Sample);
        List<double[]> points = [new double[surface.Dimensions]];
        for (var i = 0; i < surface.Dimensions; i++)
        {
            var values = Values(surface.Parameters.Describe(i), typical);
            points =
            [
                .. points.SelectMany(p => values.Select(v =>
                {
                    var point = (double[])p.Clone();
                    point[i] = v;
                    return point;
                })),
            ];
        }

        return points;
    }

    /// <summary>Values on the unbounded scale.</summary>
    private static double[] Values(ParameterDescription parameter, double typical)
    {
        var logTypical = Math.Log(typical);
        return (parameter.Transform, parameter.Unit) switch
        {
            (ParameterTransform.Log, "hours") => [logTypical - 1.5, logTypical - 0.3, logTypical + 0.5, logTypical + 1.5],
            (ParameterTransform.Log, _) => [-1, 0, 0.7, 1.6],
            (ParameterTransform.Identity, "hours") => [typical / 2, typical, 2 * typical],
            (ParameterTransform.Identity, _) => [0, 1, -1, logTypical, logTypical + 1],
            _ => [-1.5, 0, 1.5],
        };
    }
}
