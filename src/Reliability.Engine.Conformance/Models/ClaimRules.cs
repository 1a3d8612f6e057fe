using System.Globalization;
using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Conformance;

/// <summary>Every claim of a model tried, and what is not claimed refused.</summary>
internal static class ClaimRules
{
    private const double Tolerance = 1e-6, SpreadTolerance = 1e-4;
    private const int Small = 30, Ordinary = 60;

    public static Finding BoundsMethods(LifeModelUnderTest subject)
    {
        // A complete sample suits every method, the exact one too.
        var sample = subject.Draw(Small, Watching.Complete, 11);
        foreach (var method in Enum.GetValues<BoundsMethod>())
        {
            var options = new FitOptions { BoundsMethod = method, ConfidenceLevel = 0.9, Replicates = FitOptions.FewestReplicates };
            if (!subject.Capabilities.BoundsMethods.Contains(method))
            {
                MustBeUnsupported(subject, sample, options, $"{method} bounds, which it does not claim");
                continue;
            }

            var (_, life) = subject.Fitted(Small, Watching.Complete, 11, options, $"{method} bounds, which it claims");
            Broken.Unless(life.BoundsMethod == method, $"Asked for {method} bounds, which it claims, it gives {life.BoundsMethod}.");
            Broken.Unless(life.ConfidenceLevel == options.ConfidenceLevel, $"Asked for bounds at {options.ConfidenceLevel}, it says {life.ConfidenceLevel}.");
            var median = life.PercentileLife(0.5);
            Broken.Unless(median.Lower is not null || median.Upper is not null, $"With {method} bounds, which it claims, the median life has none.");
        }

        return Finding.Kept(string.Join(", ", subject.Capabilities.BoundsMethods.Order()));
    }

    public static Finding FixedParameters(LifeModelUnderTest subject)
    {
        var names = subject.Model.Description.Parameters.Select(p => p.Name).ToList();
        var (sample, free) = subject.Fitted(Ordinary, Watching.Censored, 12, subject.Cheapest(), $"Nothing held");
        foreach (var name in names.Append("no_such_parameter"))
        {
            var i = names.IndexOf(name);
            var value = i >= 0 && i < subject.Members[0].Length ? subject.Members[0][i] : 1;
            var held = new Dictionary<string, double> { [name] = value };
            if (!subject.Capabilities.FixableParameters.Contains(name))
            {
                MustBeUnsupported(
                    subject, sample, new FitOptions { BoundsMethod = subject.Capabilities.BoundsMethods.First(), FixedParameters = held }, $"{name} held, which it does not claim");
                continue;
            }

            var life = subject.MustFit(sample, subject.Cheapest(held: true) with { FixedParameters = held }, $"{name} held at {value:G6}, which it claims");
            var found = life.Parameters.Single(p => p.Name == name);
            Broken.Unless(found.IsFixed && found.Estimate.Value == value, $"{name} held at {value:G6} comes back as {found.Estimate.Value:G6}, held: {found.IsFixed}.");
            Broken.Unless(found.Estimate is { Lower: null, Upper: null }, $"{name} was held and has bounds.");
            Broken.Unless(
                life.Parameters.Where(p => p.Name != name).All(p => !p.IsFixed && p.Estimate.Value is not null), $"With {name} held the others are not estimated.");
            Broken.Unless(
                !(life.LogLikelihood > free.LogLikelihood + Tolerance * Math.Abs(free.LogLikelihood ?? 0)),
                $"With {name} held the log-likelihood {life.LogLikelihood:G10} is higher than with nothing held, {free.LogLikelihood:G10}.");
        }

        return Finding.Kept(subject.Capabilities.FixableParameters.Count == 0 ? "none claimed, and refused" : string.Join(", ", subject.Capabilities.FixableParameters.Order()));
    }

    public static Finding NoFailures(LifeModelUnderTest subject)
    {
        var median = Median(subject);
        var sample = new LifeSampleBuilder().AddSurvived(median, count: 20).AddSurvived(2 * median, count: 3).Build();
        if (!subject.Capabilities.BoundsWithoutFailures)
        {
            Broken.Unless(
                !subject.Model.Fit(sample, subject.Cheapest()).TryGet(out _, out _), $"It does not claim bounds without failures and fits lives of which none failed.");
            return Finding.Kept("not claimed, and a reason given");
        }

        var options = subject.Cheapest();
        if (subject.Capabilities.FixableParameters.Count > 0)
        {
            var names = subject.Model.Description.Parameters.Select(p => p.Name).ToList();
            options = subject.Cheapest(held: true) with
            {
                FixedParameters = subject.Capabilities.FixableParameters.ToDictionary(name => name, name => subject.Members[0][names.IndexOf(name)]),
            };
        }

        var life = subject.MustFit(sample, options, $"No life failed, for which it claims bounds");
        var b10 = life.PercentileLife(0.1);
        Broken.Unless(b10 is { Value: null, Upper: null, Lower: not null, Side: BoundSide.Lower }, $"When none failed the 10 % life is to have a lower bound alone; it is {b10}.");
        return Finding.Kept("a lower bound of lives of which none failed");
    }

    public static Finding Counts(LifeModelUnderTest subject)
    {
        var (sample, _) = subject.Fitted(Ordinary, Watching.Censored, 13, subject.Cheapest(), $"An ordinary sample");
        var (counted, repeated) = (new LifeSampleBuilder(), new LifeSampleBuilder());
        for (var i = 0; i < sample.RowCount; i++)
        {
            var count = 1 + i % 3;
            Add(counted, sample, i, count);
            for (var k = 0; k < count; k++)
                Add(repeated, sample, i, 1);
        }

        Same(
            subject.MustFit(repeated.Build(), subject.Cheapest(), $"A row a life"),
            subject.MustFit(counted.Build(), subject.Cheapest(), $"Rows with counts"), "with counts, against a row a life");
        return Finding.Kept($"{sample.RowCount} rows");
    }

    public static Finding RowOrder(LifeModelUnderTest subject)
    {
        var (sample, life) = subject.Fitted(Ordinary, Watching.Censored, 14, subject.Cheapest(), $"Rows in one order");
        var back = new LifeSampleBuilder();
        for (var i = sample.RowCount - 1; i >= 0; i--)
            Add(back, sample, i, 1);
        Same(life, subject.MustFit(back.Build(), subject.Cheapest(), $"Rows in another order"), "with rows in reverse");
        return Finding.Kept($"{sample.RowCount} rows");
    }

    public static Finding FailureModes(LifeModelUnderTest subject)
    {
        var (_, life) = subject.Fitted(Ordinary, Watching.Censored, 15, subject.Cheapest(), $"An ordinary sample");
        if (!subject.Capabilities.FitsFailureModes)
        {
            Broken.Unless(life.Modes.Count == 0, $"It does not claim to fit failure modes and gives some.");
            return Finding.NotClaimed("It does not fit failure modes.");
        }

        Broken.Unless(subject.FailureMode is not null, $"It fits failure modes: say by FailureMode which mode simulated lives fail by.");
        Broken.Unless(life.Modes.Count > 1, $"It claims to fit failure modes and shows {life.Modes.Count} of a sample with several.");
        var age = Median(subject);
        var failed = 1 - life.Reliability(age).Value!.Value;
        Broken.UnlessNear(failed, life.Modes.Sum(m => m.Incidence(age)), Tolerance, $"Incidences of all modes together, against 1 - R, at {age:G6} h");
        return Finding.Kept($"{life.Modes.Count} modes");
    }

    public static Finding Cohorts(LifeModelUnderTest subject)
    {
        var comparer = subject.Model as ICohortComparer;
        if (!subject.Capabilities.ComparesCohorts)
            return Finding.NotClaimed("It does not compare cohorts.");
        Broken.Unless(comparer is not null, $"It claims to compare cohorts and does not implement {nameof(ICohortComparer)}.");
        LifeSample[] cohorts = [subject.Draw(Ordinary, Watching.Censored, 16), subject.Draw(Ordinary, Watching.Censored, 17)];
        var comparison = comparer!.Compare(cohorts, subject.Cheapest());
        Broken.Unless(comparison.Fits.Count == cohorts.Length, $"A comparison of {cohorts.Length} cohorts has {comparison.Fits.Count} fits.");
        Broken.Unless(comparison.Tests.Count > 0 && comparison.Effects.Count > 0, $"A comparison has no test or no effect.");
        foreach (var test in comparison.Tests)
        {
            Broken.Unless(
                test.NotEstimable is not null || test is { Statistic: >= 0, PValue: >= 0 and <= 1 }, $"The test {test.Name} has statistic {test.Statistic} and p-value {test.PValue}.");
        }

        return Finding.Kept($"{comparison.Tests.Count} tests, {comparison.Effects.Count} effects");
    }

    public static Finding Predictions(LifeModelUnderTest subject)
    {
        var predictor = subject.Model as ILifePredictor;
        if (!subject.Capabilities.PredictsLives)
            return Finding.NotClaimed("It does not predict single lives.");
        Broken.Unless(predictor is not null, $"It claims to predict lives and does not implement {nameof(ILifePredictor)}.");
        var answer = predictor!.Predict(subject.Draw(Ordinary, Watching.Censored, 18), [], FitOptions.Default);
        Broken.Unless(answer.TryGet(out var life, out var reason), $"It claims to predict lives: no prediction ({reason?.Text}).");
        var median = Median(subject);
        var before = 1.0;
        foreach (var further in (double[])[0, median / 4, median, 3 * median])
        {
            var survival = life!.Survival(median / 2, further);
            Broken.Unless(survival <= before && survival >= 0 && (further > 0 || survival == 1), $"Survival of a further {further:G6} h is {survival:G6} after {before:G6}.");
            before = survival;
        }

        var remaining = life!.RemainingLife(median / 2, 0.3);
        Broken.Unless(remaining > 0, $"The remaining life at 30 % is {remaining}.");
        Broken.UnlessNear(0.7, life.Survival(median / 2, remaining!.Value), Tolerance, $"Survival at the remaining life of 30 %");
        return Finding.Kept("survival falls, and remaining life inverts it");
    }

    public static Finding Scale(LifeModelUnderTest subject)
    {
        const double Seconds = 3600, ScaleTolerance = 1e-5;
        if (!subject.Capabilities.ScaleEquivariant)
            return Finding.NotClaimed("It does not claim that hours times a factor give lives times it.");
        foreach (var member in subject.Members)
        {
            var (sample, life) = subject.Fitted(Ordinary, Watching.Censored, 19, subject.Cheapest(), $"Lives in hours", member);
            var scaled = new LifeSampleBuilder();
            for (var i = 0; i < sample.RowCount; i++)
                Add(scaled, sample, i, 1, Seconds);
            var other = subject.MustFit(scaled.Build(), subject.Cheapest(), $"The same lives times {Seconds}");
            foreach (var fraction in (double[])[0.1, 0.5, 0.9])
            {
                Broken.UnlessNear(
                    life.PercentileLife(fraction).Value!.Value * Seconds, other.PercentileLife(fraction).Value!.Value, ScaleTolerance,
                    $"The {fraction:P0} life of hours times {Seconds}, against the life times it, for {DescriptionRules.Named(member)}");
            }

            if (life.LogLikelihood is { } log && other.LogLikelihood is { } otherLog)
            {
                Broken.Unless(
                    Math.Abs(otherLog + sample.FailedCount * Math.Log(Seconds) - log) <= Tolerance * Math.Abs(log),
                    $"The log-likelihood of hours times {Seconds} is {otherLog:G10}; with that of hours, {log:G10}, it is to be lower by log {Seconds} for each of {sample.FailedCount} failures.");
            }
        }

        return Finding.Kept($"hours times {Seconds}, {subject.Members.Count} samples");
    }

    private static double Median(LifeModelUnderTest subject) => subject.Distribution(subject.Members[0]).AgesAt(subject.Members[0], [Math.Log(2)])[0];

    /// <summary>All that two fits say: values to a millionth, what rests on second differences to a ten-thousandth.</summary>
    private static void Same(IFittedLife expected, IFittedLife actual, string what)
    {
        Same(expected.LogLikelihood, actual.LogLikelihood, Tolerance, $"The log-likelihood {what}");
        foreach (var (one, other) in expected.Parameters.Zip(actual.Parameters))
            Same(one.Estimate, other.Estimate, $"{one.Name} {what}");
        foreach (var fraction in (double[])[0.1, 0.5, 0.9])
            Same(expected.PercentileLife(fraction), actual.PercentileLife(fraction), FormattableString.Invariant($"The {fraction:P0} life {what}"));
    }

    private static void Same(BoundedEstimate expected, BoundedEstimate actual, string what)
    {
        Same(expected.Value, actual.Value, Tolerance, $"{what}");
        Same(expected.StandardError, actual.StandardError, SpreadTolerance, $"{what}: the standard error");
        Same(expected.Lower, actual.Lower, SpreadTolerance, $"{what}: the lower bound");
        Same(expected.Upper, actual.Upper, SpreadTolerance, $"{what}: the upper bound");
    }

    private static void Same(double? expected, double? actual, double tolerance, FormattableString what)
    {
        Broken.Unless((expected is null) == (actual is null), $"{what.ToString(CultureInfo.InvariantCulture)}: {actual?.ToString("G12", CultureInfo.InvariantCulture) ?? "none"}, expected {expected?.ToString("G12", CultureInfo.InvariantCulture) ?? "none"}.");
        if (expected is not null)
            Broken.UnlessNear(expected.Value, actual!.Value, tolerance, what);
    }

    private static void MustBeUnsupported(LifeModelUnderTest subject, LifeSample sample, FitOptions options, FormattableString what)
    {
        try
        {
            subject.Model.Fit(sample, options);
        }
        catch (UnsupportedRequestException refused)
        {
            Broken.Unless(!string.IsNullOrWhiteSpace(refused.Rule) && !string.IsNullOrWhiteSpace(refused.Option), $"{what}: refused without a text.");
            return;
        }

        Broken.Unless(false, $"{what}: it is to be refused with {nameof(UnsupportedRequestException)}.");
    }

    private static void Add(LifeSampleBuilder builder, LifeSample sample, int i, double count, double factor = 1)
    {
        var (hours, entry) = (sample.LowerHours[i] * factor, sample.EntryHours[i] * factor);
        if (sample.Outcomes[i] == LifeOutcome.Survived)
            builder.AddSurvived(hours, entry, count);
        else
            builder.AddFailed(hours, entry, count, failureMode: sample.FailureModes.IsEmpty || sample.FailureModes[i] < 0 ? null : sample.FailureModeNames[sample.FailureModes[i]]);
    }
}
