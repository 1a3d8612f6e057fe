using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Conformance;

/// <summary>Questions to a family as arrays, and ages found from its log survival alone.</summary>
internal static class Asked
{
    private const double LeastLog = -690, GreatestLog = 690;
    private const int Halvings = 64;

    public static double[] LogDensities(this ILifeFamily family, double[] parameters, double[] hours)
    {
        var result = new double[hours.Length];
        family.LogDensity(parameters, hours, result);
        return result;
    }

    public static double[] LogSurvivals(this ILifeFamily family, double[] parameters, double[] hours)
    {
        var result = new double[hours.Length];
        family.LogSurvival(parameters, hours, result);
        return result;
    }

    public static double[] Quantiles(this ILifeFamily family, double[] parameters, double[] fractions)
    {
        var result = new double[fractions.Length];
        family.Quantile(parameters, fractions, result);
        return result;
    }

    /// <summary>
    /// Ages at which -log R reaches cumulative hazards, by halving on log age, so that nothing here rests on the family's quantile. All are
    /// halved together: one batch a halving.
    /// </summary>
    public static double[] AgesAt(this ILifeFamily family, double[] parameters, double[] hazards)
    {
        var (low, high) = (new double[hazards.Length], new double[hazards.Length]);
        Array.Fill(low, LeastLog);
        Array.Fill(high, GreatestLog);
        var hours = new double[hazards.Length];
        for (var k = 0; k < Halvings; k++)
        {
            for (var i = 0; i < hours.Length; i++)
                hours[i] = Math.Exp((low[i] + high[i]) / 2);
            var logs = family.LogSurvivals(parameters, hours);
            for (var i = 0; i < hours.Length; i++)
            {
                if (-logs[i] < hazards[i])
                    low[i] = (low[i] + high[i]) / 2;
                else
                    high[i] = (low[i] + high[i]) / 2;
            }
        }

        return [.. high.Select(Math.Exp)];
    }
}
