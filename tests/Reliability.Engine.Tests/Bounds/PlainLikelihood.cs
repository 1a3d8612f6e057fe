using Reliability.Engine.Abstractions;
using Reliability.Engine.Tests.ReferenceValues;

namespace Reliability.Engine.Tests.Bounds;

/// <summary>The likelihood written plainly from the family's log density and log survival, maximised by nested searches.</summary>
internal static class PlainLikelihood
{
    /// <summary>Log-likelihood of a sample at named parameters.</summary>
    public static double Of(ILifeFamily family, LifeSample sample, double[] parameters)
    {
        double Density(double t) => One(family.LogDensity, parameters, t);
        double Survival(double t) => One(family.LogSurvival, parameters, t);
        double sum = 0;
        for (var i = 0; i < sample.RowCount; i++)
        {
            var (lower, upper, entry) = (sample.LowerHours[i], sample.UpperHours[i], sample.EntryHours[i]);
            var row = sample.Outcomes[i] switch
            {
                LifeOutcome.Failed => Density(lower),
                LifeOutcome.Survived => Survival(lower),
                _ => Math.Log(Math.Exp(Survival(lower)) - Math.Exp(Survival(upper))),
            };
            sum += sample.Counts[i] * (row - (entry > 0 ? Survival(entry) : 0));
        }

        return sum;
    }

    /// <summary>The greatest log-likelihood among parameters for which a question has a given answer.</summary>
    public static double Profile(
        string model, LifeSample sample, IFittedLife fitted, double answer, Func<IFittedLife, BoundedEstimate> question)
    {
        var family = Asked.Model(model).Family!;
        var logs = model == "lognormal";

        // Spread parameter on the log scale; location in log hours.
        var spread = Math.Log(logs ? fitted.Parameters[1].Estimate.Value!.Value : 1 / fitted.Parameters[0].Estimate.Value!.Value);
        var location = logs ? fitted.Parameters[0].Estimate.Value!.Value : Math.Log(fitted.Parameters[1].Estimate.Value!.Value);
        double[] Parameters(double logSigma, double mu) =>
            logs ? [mu, Math.Exp(logSigma)] : [Math.Exp(-logSigma), Math.Exp(mu)];

        double AtSpread(double logSigma)
        {
            // Every answer rises with the location at a given spread: bisect.
            double low = location - 20, high = location + 20;
            for (var i = 0; i < 48; i++)
            {
                var middle = (low + high) / 2;
                if (Answer(model, Parameters(logSigma, middle), question) < answer)
                    low = middle;
                else
                    high = middle;
            }

            var value = Of(family, sample, Parameters(logSigma, (low + high) / 2));
            return double.IsNaN(value) ? double.NegativeInfinity : value;
        }

        // Coarse grid, then golden section around its best point.
        var centre = Enumerable.Range(-12, 25).Select(k => spread + 0.2 * k).MaxBy(AtSpread);
        double a = centre - 0.2, b = centre + 0.2;
        for (var i = 0; i < 18; i++)
        {
            var (c, d) = (a + 0.381966 * (b - a), b - 0.381966 * (b - a));
            if (AtSpread(c) > AtSpread(d))
                b = d;
            else
                a = c;
        }

        return AtSpread((a + b) / 2);
    }

    /// <summary>A question put to the distribution itself, by quadrature and root search over its survival function alone.</summary>
    private static double Answer(string model, double[] parameters, Func<IFittedLife, BoundedEstimate> question) =>
        question(new PlainLife(Asked.Model(model), parameters)).Value!.Value;

    private static double One(Batch method, double[] parameters, double t)
    {
        Span<double> result = stackalloc double[1];
        method(parameters, [t], result);
        return result[0];
    }

    private delegate void Batch(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result);
}
