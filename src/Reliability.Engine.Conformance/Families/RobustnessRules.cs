using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Conformance;

/// <summary>Numbers that no sample will bring and a search for bounds will: ends of domains, of hours, of fractions; odd batches.</summary>
internal static class RobustnessRules
{
    private const double BatchTolerance = 1e-12;
    private const int LongBatch = 517, Singles = 12;

    private static readonly double[] Hours = [1e-300, 1e-100, 1e-10, 1e-3, 1, 1e3, 1e10, 1e100, 1e300];

    private static readonly double[] Fractions = [1e-300, 1e-100, 1e-16, 1e-3, 0.5, 0.999, 1 - 1e-16];

    // How near to the ends: parts of a domain's length where it has two ends, plain numbers where it has one or none.
    private static readonly double[] Near = [1e-10, 1e-3];
    private static readonly double[] Far = [1e3, 1e10];

    public static Finding ExtremeInputs(FamilyUnderTest subject)
    {
        var members = subject.Members.Concat(NearEnds(subject)).ToList();
        foreach (var member in members)
        {
            Check("log density", member, Hours, subject.Family.LogDensities(member, Hours), v => double.IsPositiveInfinity(v));
            Check("log R", member, [0, .. Hours], subject.Family.LogSurvivals(member, [0, .. Hours]), double.IsPositiveInfinity);
            Check("quantile", member, Fractions, subject.Family.Quantiles(member, Fractions), double.IsNegativeInfinity);
            Broken.Unless(subject.Family.Mean(member) is not double.NaN, $"The mean is NaN for {DescriptionRules.Named(member)}.");
            Broken.Unless(subject.Family.MeanRemaining(member, 1) is not double.NaN, $"The mean remaining life at 1 h is NaN for {DescriptionRules.Named(member)}.");
        }

        return Finding.Kept($"{members.Count} members, {members.Count - subject.Members.Count} of them near an end of a domain");
    }

    public static Finding Batches(FamilyUnderTest subject)
    {
        foreach (var member in subject.Members)
        {
            double[] fractions = [.. Enumerable.Range(1, LongBatch).Select(i => (double)i / (LongBatch + 1))];
            Batch("quantile", member, fractions, x => subject.Family.Quantiles(member, x));
            var ends = subject.Family.AgesAt(member, [Tails.Hazard(1e-4), Tails.Hazard(0.9999)]);
            double[] hours = [.. fractions.Select(p => ends[0] * Math.Pow(ends[1] / ends[0], p))];
            Batch("log R", member, hours, x => subject.Family.LogSurvivals(member, x));
            Batch("log density", member, hours, x => subject.Family.LogDensities(member, x));
        }

        return Finding.Kept($"batches of 0, 1 and {LongBatch}");
    }

    private static void Batch(string what, double[] member, double[] inputs, Func<double[], double[]> ask)
    {
        ask([]);
        var whole = ask(inputs);
        for (var k = 0; k < Singles; k++)
        {
            // The last ones too, which a loop over several at a time forgets.
            var i = inputs.Length - 1 - k * k * (inputs.Length - 1) / ((Singles - 1) * (Singles - 1));
            var alone = ask([inputs[i]])[0];
            Broken.Unless(
                BitConverter.DoubleToInt64Bits(alone) == BitConverter.DoubleToInt64Bits(whole[i])
                    || Math.Abs(alone - whole[i]) <= BatchTolerance * Math.Abs(alone) || (double.IsNaN(alone) && double.IsNaN(whole[i])),
                $"The {what} at {inputs[i]:G8} is {alone:G15} alone and {whole[i]:G15} in a batch of {inputs.Length}, for {DescriptionRules.Named(member)}.");
        }
    }

    private static void Check(string what, double[] member, double[] inputs, double[] results, Func<double, bool> isWrong)
    {
        for (var i = 0; i < inputs.Length; i++)
        {
            Broken.Unless(
                !double.IsNaN(results[i]) && !isWrong(results[i]),
                $"The {what} at {inputs[i]:G6} is {results[i]} for {DescriptionRules.Named(member)}.");
        }
    }

    /// <summary>The first member with one parameter after the other moved near each end of its domain.</summary>
    private static IEnumerable<double[]> NearEnds(FamilyUnderTest subject)
    {
        var parameters = subject.Family.Parameters;
        for (var i = 0; i < parameters.Count; i++)
        {
            foreach (var value in Ends(parameters[i]).Where(parameters[i].Allows))
            {
                var member = (double[])subject.Members[0].Clone();
                member[i] = value;
                yield return member;
            }
        }
    }

    private static IEnumerable<double> Ends(ParameterDescription p)
    {
        if (p.IncludesLower)
            yield return p.Lower;
        if (double.IsFinite(p.Lower) && double.IsFinite(p.Upper))
        {
            foreach (var near in Near)
            {
                yield return p.Lower + near * (p.Upper - p.Lower);
                yield return p.Upper - near * (p.Upper - p.Lower);
            }

            yield break;
        }

        foreach (var size in Near.Concat(Far))
        {
            if (double.IsFinite(p.Lower))
                yield return p.Lower + size;
            else if (double.IsFinite(p.Upper))
                yield return p.Upper - size;
            else
            {
                yield return size;
                yield return -size;
            }
        }
    }
}
