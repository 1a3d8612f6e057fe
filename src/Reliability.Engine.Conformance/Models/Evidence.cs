using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Conformance;

/// <summary>Fits of ordinary, sparse and hostile samples by every bounds method, with all answers: what rules about answers look at.</summary>
internal static class Evidence
{
    private const int Ordinary = 25, Few = 6;

    /// <summary>Fits and asks; nothing that the model throws ends it.</summary>
    public static IReadOnlyList<FitCase> Of(LifeModelUnderTest subject)
    {
        var methods = subject.Capabilities.BoundsMethods;
        List<(string Name, LifeSample Sample, IEnumerable<BoundsMethod> Methods)> plan =
        [
            ("ordinary", subject.Draw(Ordinary, Watching.Censored, 101), methods),
            ("few", subject.Draw(Few, Watching.Censored, 102), methods.Where(IsQuick)),
            ("complete", subject.Draw(Few, Watching.Complete, 103), methods.Where(m => IsQuick(m) || m == BoundsMethod.Exact)),
        ];
        if (subject.Capabilities.SupportsIntervals)
            plan.Add(("inspected", subject.Draw(Ordinary, Watching.Inspected, 104), methods.Where(IsQuick)));
        if (subject.Capabilities.SupportsLateEntry)
            plan.Add(("late entry", subject.Draw(Ordinary, Watching.LateEntry, 105), methods.Where(IsQuick)));
        var scale = subject.Distribution(subject.Members[0]).AgesAt(subject.Members[0], [Math.Log(2)])[0];
        plan.AddRange(Hostile(scale, subject.FailureMode is null ? null : "a").Select(h => (h.Name, h.Sample, methods.Where(IsQuick))));
        return [.. plan.SelectMany(p => p.Methods.DefaultIfEmpty(methods.FirstOrDefault()).Select(method => Case(subject.Model, p.Name, p.Sample, method)))];
    }

    /// <summary>All answers of a fitted life.</summary>
    public static IReadOnlyList<FitAnswer> Ask(IFittedLife life, double age)
    {
        var answers = life.Parameters.Select(p => new FitAnswer(p.Name, AnswerKind.Parameter, p.Estimate, null)).ToList();
        void Add(string question, AnswerKind kind, Func<BoundedEstimate> ask)
        {
            try
            {
                answers.Add(new FitAnswer(question, kind, ask(), null));
            }
#pragma warning disable CA1031 // What a foreign life model throws is evidence.
            catch (Exception e)
#pragma warning restore CA1031
            {
                answers.Add(new FitAnswer(question, kind, null, e));
            }
        }

        Add("mean", AnswerKind.Life, () => life.Mean());
        foreach (var fraction in (double[])[1e-6, 0.1, 0.5, 0.9])
            Add(FormattableString.Invariant($"percentile life {fraction}"), AnswerKind.Life, () => life.PercentileLife(fraction));
        Add("reliability", AnswerKind.Probability, () => life.Reliability(age));
        Add("conditional reliability", AnswerKind.Probability, () => life.ConditionalReliability(age, age));
        Add("remaining life", AnswerKind.Life, () => life.RemainingLife(age, 0.5));
        Add("mean remaining life", AnswerKind.Life, () => life.MeanRemainingLife(age));
        Add("curve", AnswerKind.Probability, () => life.Curve([age])[0].FailedFraction);
        return answers;
    }

    private static bool IsQuick(BoundsMethod method) => method == BoundsMethod.NormalApproximation;

    private static FitCase Case(ILifeModel model, string name, LifeSample sample, BoundsMethod method)
    {
        name = $"{name} sample, {method}";
        try
        {
            var options = new FitOptions { BoundsMethod = method, ConfidenceLevel = 0.9, Replicates = FitOptions.FewestReplicates };
            return model.Fit(sample, options).TryGet(out var life, out var reason)
                ? new FitCase(name, life, null, null, Ask(life, Math.Max(sample.OldestHours / 3, double.Epsilon)))
                : new FitCase(name, null, reason, null, []);
        }
#pragma warning disable CA1031 // What a foreign life model throws is evidence.
        catch (Exception e)
#pragma warning restore CA1031
        {
            return new FitCase(name, null, null, e, []);
        }
    }

    /// <summary>Samples that a query can bring and that hardly allow an answer.</summary>
    private static IEnumerable<(string Name, LifeSample Sample)> Hostile(double hours, string? mode)
    {
        LifeSampleBuilder New() => new();
        yield return ("empty", LifeSample.Empty);
        yield return ("one failure", New().AddFailed(hours, failureMode: mode).Build());
        yield return ("one survivor", New().AddSurvived(hours).Build());
        yield return ("survivors only", New().AddSurvived(hours, count: 20).AddSurvived(hours / 2, count: 5).Build());
        yield return ("failures at one age", New().AddFailed(hours, count: 5, failureMode: mode).AddSurvived(hours / 3).Build());
        yield return ("failures at the end", New().AddFailed(hours, count: 2, failureMode: mode).AddSurvived(hours / 2, count: 30).Build());
        yield return ("two ages far apart",
            New().AddFailed(hours * 1e-9, failureMode: mode).AddFailed(hours, failureMode: mode).AddSurvived(hours / 2).Build());
        yield return ("great counts",
            New().AddFailed(hours / 3, count: 1e9, failureMode: mode).AddFailed(hours / 2, count: 2e9, failureMode: mode).AddSurvived(hours, count: 1e12).Build());
    }
}
