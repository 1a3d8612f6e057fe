namespace Reliability.Engine.Conformance;

/// <summary>The same question has the same answer, to the last bit, whatever was asked before and on whichever thread.</summary>
internal static class PurityRules
{
    private const int FewestRounds = 10;

    // So long a wait means that a thread hangs; nothing is timed.
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(2);

    private static readonly double[] Fractions = [.. Enumerable.Range(1, 97).Select(i => i / 98.0)];

    public static Finding NoState(FamilyUnderTest subject)
    {
        var (first, second) = (subject.Members[0], subject.Members[^1]);
        var (hours, others) = (Ages(subject, first), Ages(subject, second));
        Answers(subject, first, hours);
        var before = Answers(subject, first, hours);
        Answers(subject, second, others);
        var after = Answers(subject, first, hours);
        Unless(before, after, $"An answer for {DescriptionRules.Named(first)} changed after {DescriptionRules.Named(second)} was asked");
        return Finding.Kept($"{before.Length} answers before and after others");
    }

    public static Finding ManyThreads(FamilyUnderTest subject)
    {
        // Parameters kept in a field are seen only where two threads ask different members.
        double[][] members = [subject.Members[0], subject.Members[^1]];
        double[][] hours = [.. members.Select(member => Ages(subject, member))];
        return Finding.Kept(SideBySide.Compare(
            () => Answers(subject, members[0], hours[0]), () => Answers(subject, members[1], hours[1]), FewestRounds,
            $"Answers for {DescriptionRules.Named(members[0])} and {DescriptionRules.Named(members[1])}, asked side by side"));
    }

    /// <summary>Runs a function on fresh threads at once; what one throws is thrown here.</summary>
    public static T[] OnThreads<T>(int count, Func<int, T> work)
    {
        var results = new T[count];
        var thrown = new Exception?[count];
        var threads = Enumerable.Range(0, count).Select(k => new Thread(() =>
        {
            try
            {
                results[k] = work(k);
            }
#pragma warning disable CA1031 // Thrown again below, on the thread of the rule.
            catch (Exception e)
#pragma warning restore CA1031
            {
                thrown[k] = e;
            }
        })
        {
            IsBackground = true,
        }).ToList();
        threads.ForEach(t => t.Start());
        foreach (var thread in threads)
            Broken.Unless(thread.Join(Patience), $"A thread still works after {Patience.TotalMinutes} minutes.");
        if (Array.Find(thrown, e => e is not null) is { } first)
            throw first is BrokenRuleException ? first : new BrokenRuleException($"On another thread it threw {first.GetType().Name}: {first.Message}");
        return results;
    }

    /// <summary>Ends the rule unless two rows of numbers are the same to the last bit.</summary>
    public static void Unless(double[] expected, double[] actual, FormattableString what)
    {
        Broken.Unless(expected.Length == actual.Length, $"{what}: there are {actual.Length} numbers and were {expected.Length}.");
        for (var i = 0; i < expected.Length; i++)
        {
            Broken.Unless(
                BitConverter.DoubleToInt64Bits(expected[i]) == BitConverter.DoubleToInt64Bits(actual[i]),
                $"{what}: from {expected[i]:R} to {actual[i]:R}.");
        }
    }

    private static double[] Ages(FamilyUnderTest subject, double[] member) =>
        subject.Family.AgesAt(member, [.. Fractions.Select(Tails.Hazard)]);

    private static double[] Answers(FamilyUnderTest subject, double[] member, double[] hours) =>
    [
        .. subject.Family.LogDensities(member, hours),
        .. subject.Family.LogSurvivals(member, hours),
        .. subject.Family.Quantiles(member, Fractions),
        subject.Family.Mean(member) ?? 0,
        subject.Family.MeanRemaining(member, hours[0]) ?? 0,
    ];
}
