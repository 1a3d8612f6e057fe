using Reliability.Engine.Abstractions;
using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Families;

/// <summary>
/// Expectation and maximisation for a mixture of two Weibulls (Dempster, Laird and Rubin 1977): each life is shared out by the
/// chance of either subpopulation, and a Weibull is fitted to each share. Late entry is left to the Newton steps that follow.
/// </summary>
internal static class MixtureSplit
{
    private const int Rounds = 60;
    private const double Enough = 1e-5;

    // Below this share a life is not handed to a subpopulation at all.
    private const double LeastShare = 1e-9;

    // Fractions of failures by age below which lives are first taken to be early ones.
    private static readonly double[] Cuts = [0.1, 0.2, 0.35, 0.5, 0.7, 0.85];

    /// <summary>Parameters to begin from, one set a cut that does not fall apart on the way.</summary>
    public static IEnumerable<double[]> Starts(WeibullMixtureFamily family, LifeSample sample, CancellationToken cancellationToken)
    {
        double[] ages = new double[sample.RowCount];
        for (var i = 0; i < ages.Length; i++)
            ages[i] = sample.LowerHours[i] / 2 + sample.UpperHours[i] / 2;
        double[] failures = [.. Enumerable.Range(0, ages.Length).Where(i => sample.Outcomes[i] != LifeOutcome.Survived).Select(i => ages[i]).Order()];
        foreach (var cut in Cuts.Select(share => failures[(int)(share * (failures.Length - 1))]).Distinct())
        {
            var shares = new double[ages.Length];
            for (var i = 0; i < shares.Length; i++)
                shares[i] = sample.Outcomes[i] == LifeOutcome.Survived ? (ages[i] > cut ? 0.02 : 0.3) : ages[i] <= cut ? 0.95 : 0.05;
            if (Settle(family, sample, shares, cancellationToken) is { } parameters)
                yield return parameters;
        }
    }

    /// <summary>How likely each life is of the early subpopulation.</summary>
    public static double[] SharesOf(WeibullMixtureFamily family, LifeSample sample, double[] parameters)
    {
        var shares = new double[sample.RowCount];
        var (early, late) = (WeightedWeibull.Early(parameters), WeightedWeibull.Late(parameters));
        for (var i = 0; i < shares.Length; i++)
        {
            var difference = LogChance(late, sample, i) - LogChance(early, sample, i);
            shares[i] = double.IsNaN(difference) ? 0.5 : 1 / (1 + Math.Exp(difference));
        }

        return shares;
    }

    private static double[]? Settle(WeibullMixtureFamily family, LifeSample sample, double[] shares, CancellationToken cancellationToken)
    {
        double[]? before = null;
        for (var round = 0; round < Rounds; round++)
        {
            if (Maximise(sample, shares, cancellationToken) is not { } now || !now.Zip(family.Parameters).All(pair => pair.Second.Allows(pair.First)))
                return null;
            if (before is not null && now.Zip(before).All(pair => Math.Abs(pair.First - pair.Second) < Enough * Math.Abs(pair.Second)))
                return now;
            shares = SharesOf(family, sample, now);
            before = now;
        }

        return before;
    }

    private static double[]? Maximise(LifeSample sample, double[] shares, CancellationToken cancellationToken)
    {
        double weight = 0;
        for (var i = 0; i < shares.Length; i++)
            weight += sample.Counts[i] * shares[i];
        return Weibull(sample, i => shares[i], cancellationToken) is { } early && Weibull(sample, i => 1 - shares[i], cancellationToken) is { } late
            ? [weight / sample.TotalCount, early.Shape, early.Scale, late.Shape, late.Scale]
            : null;
    }

    private static (double Shape, double Scale)? Weibull(LifeSample sample, Func<int, double> share, CancellationToken cancellationToken)
    {
        var builder = new LifeSampleBuilder(sample.RowCount);
        for (var i = 0; i < sample.RowCount; i++)
        {
            var count = sample.Counts[i] * share(i);
            if (!(share(i) > LeastShare) || !(count > 0))
                continue;
            _ = sample.Outcomes[i] switch
            {
                LifeOutcome.Failed => builder.AddFailed(sample.LowerHours[i], 0, count),
                LifeOutcome.Survived => builder.AddSurvived(sample.LowerHours[i], 0, count),
                _ => builder.AddBetween(sample.LowerHours[i], sample.UpperHours[i], 0, count),
            };
        }

        var part = builder.Build();
        if (Estimability.OfBothParameters(part) is not null)
            return null;
        var likelihood = LogTimeLikelihood.Create<SmallestExtremeValue>(part);
        return Maximiser.Maximise(likelihood, cancellationToken).TryGet(out var maximum, out _)
            ? (maximum.U, Math.Exp(new LogTimeLife(likelihood.Distribution, likelihood.Sample.Axis, maximum.U, maximum.V).Location))
            : null;
    }

    private static double LogChance(in WeightedWeibull of, LifeSample sample, int i)
    {
        var log = Math.Log(sample.LowerHours[i]);
        switch (sample.Outcomes[i])
        {
            case LifeOutcome.Failed:
                return of.LogDensity(log);
            case LifeOutcome.Survived:
                return of.LogSurvival(log);
            default:
                var atLower = of.LogSurvival(log);
                return atLower + SpecialFunctions.NearZero.Log1mExp(Math.Min(of.LogSurvival(Math.Log(sample.UpperHours[i])) - atLower, -double.Epsilon));
        }
    }
}
