using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Conformance;

/// <summary>
/// Parameters and lives found again in simulated lives. Each estimate is set against its own standard error; over n samples the mean of
/// these has standard error 1/sqrt(n), and a model that is right breaks the rule once in a million comparisons. Where there is no standard
/// error the estimates' own spread stands in, over forty samples, by Student's t.
/// </summary>
internal static class RecoveryRules
{
    private const int Samples = 10, FewSamples = 6, ManySamples = 40;
    private const int MostMembers = 2;

    // Quantiles of the standard normal and of Student's t with 39 degrees of freedom at one in a million.
    private const double Normal = 4.8916, Student = 5.7943;

    // Quantiles of chi-square with 39 degrees of freedom at one in a hundred thousand on either side (R 4: qchisq(1e-5, 39) and its upper
    // tail): standard errors that are right break the rule that seldom; those that are 0.66 or 1.8 times what they should be, every other time.
    private const double LeastChiSquare = 12.035, GreatestChiSquare = 88.604;

    // Of 40 bounds at 90 % fewer than 25 hold the truth six times in ten million (R 4: pbinom(24, 40, 0.9) is 5.9e-7); bounds that are a third
    // as wide as they should be do in all but one case of a hundred.
    private const int FewestThatHold = 25;
    private const double Level = 0.9;

    private static readonly double[] Fractions = [0.1, 0.5];

    public static Finding Censored(LifeModelUnderTest subject) =>
        Recover(subject, Watching.Censored, MostMembers, Samples, isShared: true);

    /// <summary>The same of a family, whose standard errors and bounds are the engine's and no matter of a rule.</summary>
    public static Finding OfFamily(LifeModelUnderTest subject) => Recover(subject, Watching.Censored, MostMembers, Samples, isShared: false);

    public static Finding Intervals(LifeModelUnderTest subject)
    {
        if (subject.Capabilities.SupportsIntervals)
            return Recover(subject, Watching.Inspected, 1, FewSamples, isShared: false);
        MustRefuse(subject, Watching.Inspected, "lives that failed between two ages");
        return Finding.Kept("not claimed, and refused");
    }

    public static Finding LateEntry(LifeModelUnderTest subject)
    {
        if (subject.Capabilities.SupportsLateEntry)
            return Recover(subject, Watching.LateEntry, 1, FewSamples, isShared: false);
        MustRefuse(subject, Watching.LateEntry, "lives that entered late");
        return Finding.Kept("not claimed, and refused");
    }

    public static Finding StandardErrors(LifeModelUnderTest subject)
    {
        var tried = 0;
        var member = subject.Members[0];
        foreach (var (name, departures) in Departures(subject, member, Watching.Censored, ManySamples))
        {
            if (departures.Any(d => d.Error is null))
                continue;
            double[] scaled = [.. departures.Select(d => d.Amount / d.Error!.Value)];
            var mean = scaled.Average();
            var sum = scaled.Sum(z => (z - mean) * (z - mean));
            var spread = Math.Sqrt(sum / (ManySamples - 1));
            Broken.Unless(
                !(sum > GreatestChiSquare),
                $"Estimates of {name} for {DescriptionRules.Named(member)} spread {spread:G3} times as far as their standard errors say: {sum:G4} against chi-square {GreatestChiSquare} with {ManySamples - 1} degrees of freedom.");
            Broken.Unless(
                !(sum < LeastChiSquare),
                $"Estimates of {name} for {DescriptionRules.Named(member)} spread only {spread:G3} times as far as their standard errors say: {sum:G4} against chi-square {LeastChiSquare} with {ManySamples - 1} degrees of freedom.");
            tried++;
        }

        return tried == 0 ? Finding.NotClaimed("It gives no standard errors.") : Finding.Kept($"{tried} estimates over {ManySamples} samples of {subject.Lives} lives");
    }

    /// <summary>Of forty bounds at 90 % on both sides, one sample each, at least 25 hold the truth: fewer do once in two million times.</summary>
    public static Finding BoundsHoldTruth(LifeModelUnderTest subject)
    {
        var member = subject.Members[0];
        var departures = Departures(subject, member, Watching.Censored, ManySamples);
        if (departures.Any(d => Math.Abs(OffBy(d.Value)) > Most(d.Value)))
            return Finding.NotChecked("Estimates lie beside the truth, so that bounds cannot hold it: see the rule recovery.");
        var tried = 0;
        var fewest = ManySamples;
        foreach (var (name, found) in departures)
        {
            // One without a bound on a side is open there.
            var bounded = found.Where(d => d.Holds is not null).ToList();
            if (bounded.Count < ManySamples)
                continue;
            var holding = bounded.Count(d => d.Holds!.Value);
            Broken.Unless(
                holding >= FewestThatHold,
                $"Of {ManySamples} bounds of {name} at {Level:P0} for {DescriptionRules.Named(member)} {holding} hold the truth; bounds that do so in {Level:P0} of samples have fewer than {FewestThatHold} once in two million times.");
            (tried, fewest) = (tried + 1, Math.Min(fewest, holding));
        }

        return tried == 0
            ? Finding.NotClaimed("It gives no bounds of parameters and lives.")
            : Finding.Kept($"{tried} estimates over {ManySamples} samples of {subject.Lives} lives: {fewest} bounds and more hold the truth");
    }

    /// <param name="subject">The model.</param>
    /// <param name="watching">How lives are watched.</param>
    /// <param name="members">From how many members lives are simulated.</param>
    /// <param name="samples">Samples of each; more where the model gives no standard errors.</param>
    /// <param name="isShared">Whether the samples of the first member are the first ones of those that other rules look at.</param>
    private static Finding Recover(LifeModelUnderTest subject, Watching watching, int members, int samples, bool isShared)
    {
        Broken.Unless(subject.Lives >= FamilyUnderTest.FewestLives, $"Samples of {subject.Lives} lives show too little; {FamilyUnderTest.FewestLives} are the fewest.");
        var tried = 0;
        foreach (var member in subject.Members.Take(members))
        {
            var departures = isShared && member == subject.Members[0]
                ? Departures(subject, member, watching, ManySamples).ToDictionary(d => d.Key, d => d.Value.Take(samples).ToList())
                : Departures(subject, member, watching, samples);
            if (departures.Any(d => d.Value.Any(v => v.Error is null)))
                departures = Departures(subject, member, watching, ManySamples);
            foreach (var (name, found) in departures)
            {
                var (departure, most) = (OffBy(found), Most(found));
                Broken.Unless(
                    !(Math.Abs(departure) > most),
                    $"Over {found.Count} samples of {subject.Lives} lives from {DescriptionRules.Named(member)} the estimates of {name} are off by {departure:G3} standard errors of their mean; {most} is the most that chance brings.");
                tried++;
            }
        }

        return Finding.Kept($"{tried} estimates over {samples} samples of {subject.Lives} lives or more");
    }

    /// <summary>How far estimates lie from the truth together, in standard errors of their mean.</summary>
    private static double OffBy(List<Departure> found)
    {
        var mean = found.Average(d => d.Amount);
        var spread = Math.Sqrt(found.Sum(d => (d.Amount - mean) * (d.Amount - mean)) / (found.Count - 1));
        return Math.Sqrt(found.Count) * (found.TrueForAll(d => d.Error is not null) ? found.Average(d => d.Amount / d.Error!.Value) : mean / spread);
    }

    private static double Most(List<Departure> found) => found.TrueForAll(d => d.Error is not null) ? Normal : Student;

    /// <summary>Estimates from simulated samples against the truth, by the name of the estimate.</summary>
    private static Dictionary<string, List<Departure>> Departures(LifeModelUnderTest subject, double[] member, Watching watching, int samples) =>
        subject.Recovered(
            FormattableString.Invariant($"{DescriptionRules.Named(member)} {watching} {samples}"), () => Fitted(subject, member, watching, samples));

    private static Dictionary<string, List<Departure>> Fitted(LifeModelUnderTest subject, double[] member, Watching watching, int samples)
    {
        var distribution = subject.Distribution(member);
        var lives = distribution.AgesAt(member, [.. Fractions.Select(Tails.Hazard)]);
        var departures = new Dictionary<string, List<Departure>>();
        void Add(string name, BoundedEstimate found, double truth, Func<double, double> scale, Func<double, double> slope)
        {
            if (!departures.TryGetValue(name, out var list))
                departures[name] = list = [];
            var (value, error) = (found.Value!.Value, found.StandardError);
            bool? holds = found is { Lower: null, Upper: null } || found.Side != BoundSide.Both ? null : !(found.Lower > truth) && !(found.Upper < truth);
            list.Add(new(scale(value) - scale(truth), error is > 0 ? error * slope(value) : null, holds));
        }

        for (var k = 0; k < samples; k++)
        {
            var fit = subject.MustFit(
                subject.Draw(subject.Lives, watching, 1000 + k, member), subject.Cheapest() with { ConfidenceLevel = Level },
                $"Simulated sample {k} from {DescriptionRules.Named(member)}");
            for (var i = 0; i < distribution.Parameters.Count; i++)
            {
                var p = distribution.Parameters[i];
                var found = fit.Parameters.FirstOrDefault(f => f.Name == p.Name)?.Estimate;
                Broken.Unless(found?.Value is not null, $"The fit of sample {k} from {DescriptionRules.Named(member)} has no value of {p.Name}.");

                // At its border a parameter has no standard error and no room on its scale: nothing to compare.
                var value = found!.Value!.Value;
                if (p.Allows(value) && !(p.IncludesLower && value == p.Lower))
                    Add(p.Name, found, member[i], v => Unbounded(p, v), v => Slope(p, v));
            }

            for (var i = 0; i < lives.Length; i++)
            {
                var found = fit.PercentileLife(Fractions[i]);
                Broken.Unless(found.Value is not null, $"The fit of sample {k} from {DescriptionRules.Named(member)} has no percentile life.");
                var name = FormattableString.Invariant($"the {Fractions[i]:P0} life");
                if (distribution.HasNegativeLives)
                    Add(name, found, lives[i], v => v, _ => 1);
                else
                    Add(name, found, lives[i], Math.Log, v => 1 / v);
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
