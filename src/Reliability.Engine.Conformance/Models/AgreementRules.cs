using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Conformance;

/// <summary>Answers of one fitted life against each other and against its distribution.</summary>
internal static class AgreementRules
{
    private const double Tolerance = 1e-6;
    private const int Lives = 60;

    private static readonly double[] Fractions = [0.01, 0.1, 0.5, 0.9];

    public static Finding Quantities(LifeModelUnderTest subject)
    {
        var life = Fit(subject, 31);
        foreach (var fraction in Fractions)
        {
            var hours = life.PercentileLife(fraction).Value!.Value;
            if (hours <= 0)
                continue;
            Broken.UnlessNear(1 - fraction, life.Reliability(hours).Value!.Value, Tolerance, $"Reliability at the {fraction:P0} life");
            Broken.UnlessNear(hours, life.RemainingLife(0, fraction).Value!.Value, Tolerance, $"The {fraction:P0} remaining life at 0 h, against the life");
        }

        var (age, horizon) = (life.PercentileLife(0.3).Value!.Value, life.PercentileLife(0.5).Value!.Value);
        Broken.UnlessNear(
            life.Reliability(age + horizon).Value!.Value / life.Reliability(age).Value!.Value, life.ConditionalReliability(age, horizon).Value!.Value, Tolerance,
            $"Conditional reliability, against the ratio of reliabilities");
        var remaining = life.RemainingLife(age, 0.4).Value!.Value;
        Broken.UnlessNear(0.6, life.ConditionalReliability(age, remaining).Value!.Value, Tolerance, $"Conditional reliability at the remaining life of 40 %");
        if (life.Mean().Value is { } mean && life.MeanRemainingLife(0).Value is { } atStart)
            Broken.UnlessNear(mean, atStart, Tolerance, $"The mean remaining life at 0 h, against the mean life");
        return Finding.Kept("percentile, reliability, conditional, remaining and mean");
    }

    public static Finding Curve(LifeModelUnderTest subject)
    {
        var life = Fit(subject, 32);
        var plot = life.Model.Plot;
        double[] hours = [.. Fractions.Select(f => life.PercentileLife(f).Value!.Value).Where(h => h > 0)];
        var curve = life.Curve(hours);
        Broken.Unless(curve.Count == hours.Length, $"A curve at {hours.Length} ages has {curve.Count} points.");
        for (var i = 0; i < hours.Length; i++)
        {
            var point = curve[i];
            Broken.Unless(point.Hours == hours[i], $"Point {i} of a curve is at {point.Hours:G8} h; asked was {hours[i]:G8}.");
            Broken.UnlessNear(1 - life.Reliability(hours[i]).Value!.Value, point.FailedFraction.Value!.Value, Tolerance, $"The curve at {hours[i]:G8} h, against 1 - R");
            Broken.Unless(Place(point.AxisHours, plot.HoursToAxis(hours[i])), $"The curve puts {hours[i]:G8} h at {point.AxisHours:G8}, its axis at {plot.HoursToAxis(hours[i]):G8}.");
            foreach (var (fraction, position) in (ReadOnlySpan<(double?, double?)>)[(point.FailedFraction.Value, point.AxisFraction), (point.FailedFraction.Lower, point.AxisLower), (point.FailedFraction.Upper, point.AxisUpper)])
            {
                if (fraction is > 0 and < 1 && position is { } at)
                    Broken.Unless(Place(at, plot.FractionToAxis(fraction.Value)), $"The curve puts the fraction {fraction:G8} at {at:G8}, its axis at {plot.FractionToAxis(fraction.Value):G8}.");
            }
        }

        return Finding.Kept($"{hours.Length} points");
    }

    public static Finding Likelihood(LifeModelUnderTest subject)
    {
        if (subject.Capabilities.FitsFailureModes)
            return Finding.NotClaimed("Its likelihood is that of ages and modes.");
        foreach (var watching in Claimed(subject))
        {
            var (sample, life) = subject.Fitted(Lives, watching, 33, subject.Cheapest(), $"{watching} lives");
            if ((life.Family ?? subject.Model.Family) is not { } family || life.LogLikelihood is not { } log)
                return Finding.NotClaimed("It shows no distribution or no likelihood.");
            double[] parameters = [.. life.Parameters.Select(p => p.Estimate.Value!.Value)];
            var expected = Of(family, parameters, sample);
            Broken.Unless(
                Math.Abs(log - expected) <= Tolerance * Math.Max(1, Math.Abs(expected)),
                $"The log-likelihood of {watching} lives is {log:G10}; written anew from its distribution at the estimate it is {expected:G10}.");
        }

        return Finding.Kept(string.Join(", ", Claimed(subject)));
    }

    public static Finding Level(LifeModelUnderTest subject)
    {
        var (sample, _) = subject.Fitted(Lives, Watching.Censored, 34, subject.Cheapest(), $"An ordinary sample");
        BoundedEstimate? outer = null;
        foreach (var level in (double[])[0.99, 0.9, 0.5])
        {
            var inner = subject.MustFit(sample, subject.Cheapest() with { ConfidenceLevel = level }, $"Bounds at {level}").PercentileLife(0.1);
            Broken.Unless(!(inner.Lower <= outer?.Lower) && !(inner.Upper >= outer?.Upper), $"Bounds at {level} are no narrower than at a higher level.");
            outer = inner;
        }

        return Finding.Kept("bounds at 99 %, 90 % and 50 %");
    }

    private static IFittedLife Fit(LifeModelUnderTest subject, int number) =>
        subject.Fitted(Lives, Watching.Censored, number, subject.Cheapest(), $"An ordinary sample").Life;

    private static bool Place(double a, double b) => Math.Abs(a - b) <= Tolerance * Math.Max(1, Math.Abs(b));

    private static IEnumerable<Watching> Claimed(LifeModelUnderTest subject)
    {
        yield return Watching.Censored;
        if (subject.Capabilities.SupportsIntervals)
            yield return Watching.Inspected;
        if (subject.Capabilities.SupportsLateEntry)
            yield return Watching.LateEntry;
    }

    /// <summary>The log-likelihood by its definition (Meeker and Escobar 1998, 2.4).</summary>
    private static double Of(ILifeFamily family, double[] parameters, LifeSample sample)
    {
        var (lower, upper) = (sample.LowerHours.ToArray(), sample.UpperHours.ToArray());
        var densities = family.LogDensities(parameters, [.. lower.Select(h => Math.Max(h, double.Epsilon))]);
        var (atLower, atUpper) = (family.LogSurvivals(parameters, lower), family.LogSurvivals(parameters, upper));
        var atEntry = family.LogSurvivals(parameters, sample.EntryHours.ToArray());
        double sum = 0;
        for (var i = 0; i < sample.RowCount; i++)
        {
            var log = sample.Outcomes[i] switch
            {
                LifeOutcome.Failed => densities[i],
                LifeOutcome.Survived => atLower[i],
                _ => Math.Log(Math.Exp(lower[i] > 0 ? atLower[i] : 0) - Math.Exp(atUpper[i])),
            };
            sum += sample.Counts[i] * (log - (sample.EntryHours[i] > 0 ? atEntry[i] : 0));
        }

        return sum;
    }
}
