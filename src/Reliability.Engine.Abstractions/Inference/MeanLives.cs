using Reliability.Engine.Abstractions;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Families;

/// <summary>The mean of a life whose family knows it in no closed form: the integral of R above 0 h, less that of F below.</summary>
internal static class MeanLives
{
    // Below this log of R(0) nothing above 0 h can be written beside what lies below.
    private const double LeastLogSurvival = -745;
    private const double CoarsestStep = 0.125;
    private const int MostHalvings = 8;

    // In y, where u = exp(y - exp(-y)) begins at 1e-17; it ends where the fraction falls to 1e-300.
    private const double From = -3.6, LogLeastFraction = -690;

    // Below this log of F(0) nothing below 0 h can be written beside what lies above.
    private const double LogLeastFailed = -575;

    // What the last term may be of the whole where the integral has an end.
    private const double Ended = 1e-9;

    /// <summary>The mean in hours; infinite or NaN where there is none.</summary>
    /// <param name="family">The distribution.</param>
    /// <param name="parameters">Its parameters, natural.</param>
    public static double Of(ILifeFamily family, double[] parameters)
    {
        if (!family.HasNegativeLives)
            return Math.Exp(RemainingLives.LogMean(family, parameters, 0));
        Span<double> log = stackalloc double[1];
        family.LogSurvival(parameters, [0], log);
        var above = log[0] < LeastLogSurvival ? 0 : Math.Exp(log[0] + RemainingLives.LogMean(family, parameters, 0));
        return above - Below(family, parameters, -NearZero.Expm1(log[0]));
    }

    /// <summary>
    /// The integral of F from minus infinity to 0 h. F is not asked for below 0 h, its inverse is: the integral of -Q(p) over p below F(0).
    /// With p = F(0) exp(-u) and u = exp(y - exp(-y)) by the trapezoidal rule with halved steps (Takahasi and Mori 1974).
    /// </summary>
    private static double Below(ILifeFamily family, double[] parameters, double failedAtZero)
    {
        if (!(failedAtZero > 0))
            return failedAtZero;
        if (Math.Log(failedAtZero) < LogLeastFailed)
            return 0;
        var (sum, last) = Sum(family, parameters, failedAtZero, From, CoarsestStep);
        var step = CoarsestStep;
        for (var halvings = 0; halvings < MostHalvings; halvings++)
        {
            var integral = step * sum;
            sum += Sum(family, parameters, failedAtZero, From + step / 2, step).Sum;
            step /= 2;
            if (Math.Abs(step * sum - integral) <= 1e-13 * Math.Abs(integral))
                break;
        }

        return last <= Ended * Math.Abs(sum) ? failedAtZero * step * sum : double.PositiveInfinity;
    }

    private static (double Sum, double Last) Sum(ILifeFamily family, double[] parameters, double failedAtZero, double from, double step)
    {
        var to = Math.Log(Math.Log(failedAtZero) - LogLeastFraction);
        var count = (int)Math.Ceiling((to - from) / step);
        var (fractions, weights, hours) = (new double[count], new double[count], new double[count]);
        for (var i = 0; i < count; i++)
        {
            var y = from + i * step;
            var u = Math.Exp(y - Math.Exp(-y));
            fractions[i] = Math.Min(failedAtZero * Math.Exp(-u), Math.BitDecrement(1.0));
            weights[i] = Math.Exp(-u) * u * (1 + Math.Exp(-y));
        }

        family.Quantile(parameters, fractions, hours);
        double sum = 0;
        for (var i = 0; i < count; i++)
            sum -= weights[i] * hours[i];
        return (sum, Math.Abs(weights[^1] * hours[^1]));
    }
}
