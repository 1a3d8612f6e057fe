using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Families;

/// <summary>What is left of a life at an age, for any family: from its log reliability alone.</summary>
internal static class RemainingLives
{
    private const int MostSteps = 200;
    private const double LeastLog = -700, GreatestLog = 700;

    // From so far below the median on, R is 1 to the last digit and the rest of the integral is known.
    private const double Reach = 30;
    private const double CoarsestStep = 0.125;
    private const int MostHalvings = 9;

    /// <summary>
    /// log of the further hours within which the cumulative hazard grows by so much, by Newton's method on the log hazard
    /// over log hours, kept in a bracket; not finite where there is no such age.
    /// </summary>
    /// <param name="family">The distribution.</param>
    /// <param name="parameters">Its parameters, natural.</param>
    /// <param name="age">Age in hours, 0 or more.</param>
    /// <param name="hazard">Growth of -log R, above 0.</param>
    public static double LogQuantile(ILifeFamily family, double[] parameters, double age, double hazard)
    {
        var atAge = LogSurvival(family, parameters, age);
        var target = Math.Log(hazard);
        Span<double> start = stackalloc double[1];
        var fraction = 1 - Math.Exp(atAge - hazard);
        var guess = Math.Log(Math.Max(age, double.Epsilon));
        if (fraction is > 0 and < 1)
        {
            family.Quantile(parameters, [fraction], start);
            if (start[0] > age && double.IsFinite(start[0]))
                guess = Math.Log(start[0] - age);
        }

        double low = LeastLog, high = GreatestLog, at = Math.Clamp(guess, LeastLog + 1, GreatestLog - 1);
        double before = double.NaN, missBefore = double.NaN;
        for (var i = 0; i < MostSteps; i++)
        {
            var miss = Math.Log(atAge - LogSurvival(family, parameters, age + Math.Exp(at))) - target;
            if (double.IsNaN(miss))
                return double.NaN;
            if (miss < 0)
                low = at;
            else
                high = at;

            // The log of the hazard is nearly a line in the log of the hours: the secant soon has it.
            var step = double.IsFinite(miss) && double.IsFinite(missBefore) && miss != missBefore
                ? -miss * (at - before) / (miss - missBefore)
                : double.IsFinite(miss) ? Math.Clamp(-miss, -2, 2) : -Math.CopySign(4, miss);
            if (Math.Abs(step) < 1e-14 * (1 + Math.Abs(at)) || high - low < 1e-14 * (1 + Math.Abs(at)))
                return at + step > low && at + step < high ? at + step : at;
            (before, missBefore) = (at, miss);
            var next = at + Math.Clamp(step, -20, 20);
            at = next > low && next < high ? next : (low + high) / 2;
            if (at >= GreatestLog - 1e-6 || at <= LeastLog + 1e-6)
                return double.NaN;
        }

        return at;
    }

    /// <summary>
    /// log of the mean further hours of those alive at an age: the integral of R(age + x)/R(age) over x = m e^y, m the
    /// median remaining life, by the trapezoidal rule in y with halved steps, which converges exponentially for such
    /// integrands (Trefethen and Weideman, SIAM Review 56 (2014)). Positive infinity where it does not end.
    /// </summary>
    public static double LogMean(ILifeFamily family, double[] parameters, double age)
    {
        var atAge = LogSurvival(family, parameters, age);
        var logMedian = Middle(family, parameters, age, atAge);
        if (!double.IsFinite(logMedian))
            return double.NaN;
        var last = End(family, parameters, age, atAge, logMedian);
        if (double.IsInfinity(last))
            return double.PositiveInfinity;

        var sum = Sum(family, parameters, age, atAge, logMedian, -Reach, last, CoarsestStep);
        var step = CoarsestStep;
        var integral = step * sum;
        for (var halvings = 0; halvings < MostHalvings; halvings++)
        {
            sum += Sum(family, parameters, age, atAge, logMedian, -Reach + step / 2, last, step);
            step /= 2;
            var finer = step * sum;
            if (Math.Abs(finer - integral) < 1e-12 * finer)
                return logMedian + Math.Log(finer);
            integral = finer;
        }

        return logMedian + Math.Log(integral);
    }

    /// <summary>log of the further hours by which about half has failed: it only says where the integral lies.</summary>
    private static double Middle(ILifeFamily family, double[] parameters, double age, double atAge)
    {
        var failed = 1 - Math.Exp(atAge) / 2;
        Span<double> hours = stackalloc double[1];
        if (failed < 1)
            family.Quantile(parameters, [failed], hours);
        return failed < 1 && hours[0] > age && double.IsFinite(hours[0])
            ? Math.Log(hours[0] - age)
            : LogQuantile(family, parameters, age, Math.Log(2));
    }

    /// <summary>Where what is left falls below every digit, in log medians; infinite where it never does. Asked some at a time: a question may
    /// take a journey to another process.</summary>
    private static double End(ILifeFamily family, double[] parameters, double age, double atAge, double logMedian)
    {
        const int Batch = 16;
        const double Stride = 0.5;
        Span<double> hours = stackalloc double[Batch];
        Span<double> logs = stackalloc double[Batch];
        for (var start = 0; ; start += Batch)
        {
            for (var i = 0; i < Batch; i++)
                hours[i] = age + Math.Exp(Math.Min(logMedian + (start + i + 1) * Stride, GreatestLog));
            family.LogSurvival(parameters, hours, logs);
            for (var i = 0; i < Batch; i++)
            {
                var last = (start + i + 1) * Stride;
                if (logMedian + last > GreatestLog)
                    return double.PositiveInfinity;
                if (!(last + logs[i] - atAge > -42))
                    return last;
            }
        }
    }

    private static double Sum(
        ILifeFamily family, double[] parameters, double age, double atAge, double logMedian, double from, double to, double step)
    {
        const int Batch = 1024;
        Span<double> hours = stackalloc double[Batch];
        Span<double> logs = stackalloc double[Batch];
        double sum = 0;
        var count = (int)Math.Ceiling((to - from) / step);
        for (var start = 0; start < count; start += Batch)
        {
            var n = Math.Min(Batch, count - start);
            for (var i = 0; i < n; i++)
                hours[i] = age + Math.Exp(logMedian + from + (start + i) * step);
            family.LogSurvival(parameters, hours[..n], logs[..n]);
            for (var i = 0; i < n; i++)
                sum += Math.Exp(from + (start + i) * step + Math.Min(logs[i] - atAge, 0));
        }

        return sum;
    }

    private static double LogSurvival(ILifeFamily family, double[] parameters, double hours)
    {
        if (hours <= 0 && !family.HasNegativeLives)
            return 0;
        Span<double> log = stackalloc double[1];
        family.LogSurvival(parameters, [hours], log);
        return log[0];
    }
}
