using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Conformance;

/// <summary>The same sample and options have the same answer, to the last bit.</summary>
internal static class ModelPurityRules
{
    private const int Lives = 60, FewestRounds = 10;

    public static Finding NoState(LifeModelUnderTest subject)
    {
        var (sample, other) = Two(subject);
        Answers(subject, sample);
        var before = Answers(subject, sample);
        Answers(subject, other);
        var after = Answers(subject, sample);
        PurityRules.Unless(before, after, $"An answer changed after another sample was fitted");
        return Finding.Kept($"{before.Length} numbers before and after another sample");
    }

    public static Finding ManyThreads(LifeModelUnderTest subject)
    {
        // What is kept in a field during a fit is seen only where two threads fit different samples.
        var (first, second) = Two(subject);
        return Finding.Kept(SideBySide.Compare(
            () => Answers(subject, first), () => Answers(subject, second), FewestRounds, $"Answers for two samples, fitted side by side"));
    }

    public static Finding Seed(LifeModelUnderTest subject)
    {
        if (!subject.Capabilities.BoundsMethods.Contains(BoundsMethod.Bootstrap))
            return Finding.NotClaimed("It draws no random numbers: it has no bootstrap bounds.");
        var (sample, _) = subject.Fitted(Lives / 2, Watching.Complete, 53, subject.Cheapest(), $"A complete sample");
        double[] Bounds(ulong seed)
        {
            var options = new FitOptions { BoundsMethod = BoundsMethod.Bootstrap, ConfidenceLevel = 0.9, Replicates = FitOptions.FewestReplicates, Seed = seed };
            return Numbers(subject.MustFit(sample, options, $"Bootstrap bounds"));
        }

        var first = Bounds(1);
        Bounds(2);
        PurityRules.Unless(first, Bounds(1), $"The same seed gave another answer");
        foreach (var answer in PurityRules.OnThreads(2, _ => Bounds(1)))
            PurityRules.Unless(first, answer, $"The same seed gave another answer on another thread");
        Broken.Unless(!first.SequenceEqual(Bounds(2)), $"Another seed gave the same bootstrap bounds: the seed is not used.");
        return Finding.Kept($"{first.Length} numbers");
    }

    private static (LifeSample First, LifeSample Second) Two(LifeModelUnderTest subject) =>
        (subject.Fitted(Lives, Watching.Censored, 51, subject.Cheapest(), $"An ordinary sample").Sample,
            subject.Fitted(Lives, Watching.Censored, 52, subject.Cheapest(), $"Another sample", subject.Members[^1]).Sample);

    private static double[] Answers(LifeModelUnderTest subject, LifeSample sample) => Numbers(subject.MustFit(sample, subject.Cheapest(), $"An ordinary sample"));

    private static double[] Numbers(IFittedLife life) =>
    [
        life.LogLikelihood ?? 0,
        .. life.Covariance,
        .. life.Parameters.SelectMany(p => Numbers(p.Estimate)),
        .. Numbers(life.PercentileLife(0.1)),
        .. Numbers(life.PercentileLife(0.5)),
        .. Numbers(life.Reliability(life.PercentileLife(0.3).Value ?? 1)),
    ];

    private static double[] Numbers(BoundedEstimate estimate) =>
        [estimate.Value ?? 0, estimate.Lower ?? 0, estimate.Upper ?? 0, estimate.StandardError ?? 0];
}
