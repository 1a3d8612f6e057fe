using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Conformance;

/// <summary>
/// Parameters and lives found again in simulated lives. Each estimate is set against its own standard error; over ten samples the mean of
/// these has standard error 1/sqrt(10), and a model that is right breaks the rule once in a million comparisons. Where there is no standard
/// error the estimates' own spread stands in, over forty samples, by Student's t.
/// </summary>
internal static class RecoveryRules
{
    private const int Samples = 10, SamplesWithoutErrors = 40;
    private const int MostMembers = 2;

    // Quantiles of the standard normal, of Student's t with 39 degrees of freedom and of chi-square with 9, at one in a million.
    private const double Normal = 4.8916, Student = 5.7943, LeastChiSquare = 0.2284, GreatestChiSquare = 44.811;

    private static readonly double[] Fractions = [0.1, 0.5];

    public static Finding Censored(LifeModelUnderTest subject) => Recover(subject, Watching.Censored, MostMembers);

    public static Finding Intervals(LifeModelUnderTest subject)
    {
        if (subject.Capabilities.SupportsIntervals)
            return Recover(subject, Watching.Inspected, 1);
        MustRefuse(subject, Watching.Inspected, "lives that failed between two ages");
        return Finding.Kept("not claimed, and refused");
    }

    public static Finding LateEntry(LifeModelUnderTest subject)
    {
        if (subject.Capabilities.SupportsLateEntry)
            return Recover(subject, Watching.LateEntry, 1);
        MustRefuse(subject, Watching.LateEntry, "lives that entered late");
        return Finding.Kept("not claimed, and refused");
    }

    public static Finding StandardErrors(LifeModelUnderTest subject)
    {
        var tried = 0;
        foreach (var member in subject.Members.Take(MostMembers))
        {
            foreach (var (name, departures) in Departures(subject, member, Watching.Censored, Samples))
            {
                if (departures.Any(d => d.Error is null))
                    continue;
                double[] scaled = [.. departures.Select(d => d.Amount / d.Error!.Value)];
                var mean = scaled.Average();
                var sum = scaled.Sum(z => (z - mean) * (z - mean));
                Broken.Unless(
                    !(sum > GreatestChiSquare),
                    $"Estimates of {name} for {DescriptionRules.Named(member)} spread {Math.Sqrt(sum / (Samples - 1)):G3} times as far as their standard errors say: {sum:G4} against chi-square {GreatestChiSquare} with {Samples - 1} degrees of freedom.");
                Broken.Unless(
                    !(sum < LeastChiSquare),
                    $"Estimates of {name} for {DescriptionRules.Named(member)} spread only {Math.Sqrt(sum / (Samples - 1)):G3} times as far as their standard errors say: {sum:G4} against chi-square {LeastChiSquare} with {Samples - 1} degrees of freedom.");
                tried++;
            }
        }

        return tried == 0 ? Finding.NotClaimed("It gives no standard errors.") : Finding.Kept($"{tried} estimates over {Samples} samples of {subject.Lives} lives");
    }

    private static Finding Recover(LifeModelUnderTest subject, Watching watching, int members)
    {
        Broken.Unless(subject.Lives >= FamilyUnderTest.FewestLives, $"Samples of {subject.Lives} lives show too little; {FamilyUnderTest.FewestLives} are the fewest.");
        var tried = 0;
        foreach (var member in subject.Members.Take(members))
        {
            var departures = Departures(subject, member, watching, Samples);
            if (departures.Any(d => d.Value.Any(v => v.Error is null)))
                departures = Departures(subject, member, watching, SamplesWithoutErrors);
            foreach (var (name, found) in departures)
            {
                var hasErrors = found.All(d => d.Error is not null);
                var mean = found.Average(d => d.Amount);
                var spread = Math.Sqrt(found.Sum(d => (d.Amount - mean) * (d.Amount - mean)) / (found.Count - 1));
                var departure = Math.Sqrt(found.Count) * (hasErrors ? found.Average(d => d.Amount / d.Error!.Value) : mean / spread);
                var most = hasErrors ? Normal : Student;
                Broken.Unless(
                    !(Math.Abs(departure) > most),
                    $"Over {found.Count} samples of {subject.Lives} lives from {DescriptionRules.Named(member)} the estimates of {name} are off by {departure:G3} standard errors of their mean; {most} is the most that chance brings.");
                tried++;
            }
        }

        return Finding.Kept($"{tried} estimates over {Samples} samples of {subject.Lives} lives or more");
    }

    /// <summary>How far estimates lie from the truth on the scales where they are unbounded, and their standard errors there.</summary>
    private static IReadOnlyDictionary<string, List<(double Amount, double? Error)>> Departures(
        LifeModelUnderTest subject, double[] member, Watching watching, int samples) =>
        subject.Recovered(
            FormattableString.Invariant($"{DescriptionRules.Named(member)} {watching} {samples}"),
            () => new RecoveredFits(Fitted(subject, member, watching, samples))).Departures;

    private static Dictionary<string, List<(double Amount, double? Error)>> Fitted(
        LifeModelUnderTest subject, double[] member, Watching watching, int samples)
    {
        var distribution = subject.Distribution(member);
        var lives = distribution.AgesAt(member, [.. Fractions.Select(Tails.Hazard)]);
        var departures = new Dictionary<string, List<(double, double?)>>();
        void Add(string name, double estimate, double truth, double slope, double? error)
        {
            if (!departures.TryGetValue(name, out var list))
                departures[name] = list = [];
            list.Add((estimate - truth, error is > 0 ? error / slope : null));
        }

        for (var k = 0; k < samples; k++)
        {
            var fit = subject.MustFit(
                subject.Draw(subject.Lives, watching, 1000 + k, member), subject.Cheapest(), $"Simulated sample {k} from {DescriptionRules.Named(member)}");
            for (var i = 0; i < distribution.Parameters.Count; i++)
            {
                var p = distribution.Parameters[i];
                var found = fit.Parameters.FirstOrDefault(f => f.Name == p.Name)?.Estimate;
                Broken.Unless(found?.Value is not null, $"The fit of sample {k} from {DescriptionRules.Named(member)} has no value of {p.Name}.");
                var value = found!.Value!.Value;

                // At its border a parameter has no standard error and no room on its scale: nothing to compare.
                if (p.Allows(value) && !(p.IncludesLower && value == p.Lower))
                    Add(p.Name, Unbounded(p, value), Unbounded(p, member[i]), 1 / Slope(p, value), found.StandardError);
            }

            for (var i = 0; i < lives.Length; i++)
            {
                var found = fit.PercentileLife(Fractions[i]);
                Broken.Unless(found.Value is not null, $"The fit of sample {k} from {DescriptionRules.Named(member)} has no percentile life.");
                var name = FormattableString.Invariant($"the {Fractions[i]:P0} life");
                if (distribution.HasNegativeLives)
                    Add(name, found.Value!.Value, lives[i], 1, found.StandardError);
                else
                    Add(name, Math.Log(found.Value!.Value), Math.Log(lives[i]), found.Value.Value, found.StandardError);
            }
        }

        return departures;
    }

    private static void MustRefuse(LifeModelUnderTest subject, Watching watching, string what)
    {
        try
        {
            Broken.Unless(
                !subject.Model.Fit(subject.Draw(subject.Lives, watching), subject.Cheapest()).TryGet(out _, out _),
                $"It does not claim {what} and fits them all the same.");
        }
        catch (UnsupportedRequestException)
        {
            // Refused as a request: as good as a reason.
        }
    }

    private static double Unbounded(ParameterDescription p, double value) => p.Transform switch
    {
        ParameterTransform.Log => Math.Log(value - p.Lower),
        ParameterTransform.Logit => Math.Log((value - p.Lower) / (p.Upper - value)),
        _ => value,
    };

    private static double Slope(ParameterDescription p, double value) => p.Transform switch
    {
        ParameterTransform.Log => 1 / (value - p.Lower),
        ParameterTransform.Logit => (p.Upper - p.Lower) / ((value - p.Lower) * (p.Upper - value)),
        _ => 1,
    };
}
