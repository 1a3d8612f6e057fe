using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Nonparametric;

/// <summary>Where the curve falls.</summary>
/// <param name="Hazards">Cumulative hazard of each interval, 0 where the curve does not fall; infinite where it falls to 0.</param>
/// <param name="Violation">How far the conditions of a maximum are missed, in parts of the slope that they ask for.</param>
/// <param name="LogLikelihood">Mean log-likelihood of a life.</param>
internal sealed record TurnbullHazards(double[] Hazards, double Violation, double LogLikelihood)
{
    /// <summary>What is left after each interval.</summary>
    public double[] Survival()
    {
        CompensatedSum hazard = default;
        var left = new double[Hazards.Length];
        for (var j = 0; j < left.Length; j++)
        {
            if (double.IsPositiveInfinity(Hazards[j]))
                break;
            hazard.Add(Hazards[j]);
            left[j] = Math.Exp(-hazard.Value);
        }

        return left;
    }

    /// <summary>The share that fails in an interval, of those that reach it.</summary>
    public double FailedShare(int interval) => -NearZero.Expm1(-Hazards[interval]);
}
