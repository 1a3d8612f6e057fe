using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Conformance;

/// <summary>What the engine makes of a family: the fits that its users will see.</summary>
internal static class FittingRules
{
    private const int Lives = 40;

    // So many lives tell most families apart by tens of units of log-likelihood; two searches for one maximum end a ten-thousandth apart.
    private const int ManyLives = 2000;
    private const double LogLikelihoodTolerance = 0.01;

    public static Finding Starts(FamilyUnderTest subject)
    {
        var starts = 0;
        foreach (var member in subject.Members)
        {
            var sample = Simulation.Draw(new LifeTable(subject.Family, member), Lives, Watching.Censored, subject.Seed);
            foreach (var start in subject.Family.Starts(sample))
            {
                Broken.Unless(
                    start.Length == subject.Family.Parameters.Count && start.Zip(subject.Family.Parameters).All(pair => pair.Second.Allows(pair.First)),
                    $"The start {DescriptionRules.Named(start)} does not lie in the domain.");
                starts++;
            }
        }

        return starts == 0 ? Finding.NotClaimed("It leaves starts to the engine.") : Finding.Kept($"{starts} starts");
    }

    public static Finding Recovery(FamilyUnderTest subject) => RecoveryRules.OfFamily(AsModel(subject));

    public static Finding Scale(FamilyUnderTest subject) => ClaimRules.Scale(AsModel(subject));

    public static Finding Bounds(FamilyUnderTest subject)
    {
        var model = AsModel(subject);
        var (bounds, tried) = (0, 0);
        foreach (var method in (BoundsMethod[])[BoundsMethod.LikelihoodRatio, BoundsMethod.NormalApproximation])
        {
            var (sample, life) = model.Fitted(Lives, Watching.Censored, 61, new FitOptions { BoundsMethod = method }, $"{method} bounds");
            foreach (var answer in Evidence.Ask(life, sample.OldestHours / 3))
            {
                Broken.Unless(answer.Thrown is null, $"{method} bounds of {answer.Question}: it threw {answer.Thrown?.GetType().Name}: {answer.Thrown?.Message}");
                var estimate = answer.Estimate!;
                double?[] numbers = [estimate.Value, estimate.Lower, estimate.Upper];
                Broken.Unless(numbers.All(n => n is null || double.IsFinite(n.Value)), $"{method} bounds of {answer.Question} are {estimate.Lower} to {estimate.Upper}.");
                var slack = 1e-9 * Math.Abs(estimate.Value ?? 0);
                Broken.Unless(
                    !(estimate.Lower > estimate.Value + slack) && !(estimate.Upper < estimate.Value - slack),
                    $"{method} bounds of {answer.Question}, {estimate.Lower:G8} to {estimate.Upper:G8}, do not hold the estimate {estimate.Value:G8}.");
                bounds += numbers.Skip(1).Count(n => n is not null);
                tried++;
            }
        }

        Broken.Unless(bounds >= tried, $"Of {2 * tried} bounds only {bounds} were found.");
        return Finding.Kept($"{bounds} bounds");
    }

    /// <summary>A wider model fits at least as well, for it can be the narrower one.</summary>
    public static Finding SpecialCases(FamilyUnderTest subject)
    {
        string[] claims = [.. subject.Family.SpecialCaseOf.Concat(subject.Family.BorderCaseOf)];
        if (claims.Length == 0)
            return Finding.NotClaimed("It names no wider model.");
        var model = AsModel(subject);
        var sample = model.Draw(ManyLives, Watching.Censored, 70);
        double LogLikelihood(ILifeModel fitted) =>
            (fitted.Fit(sample, model.Cheapest()).TryGet(out var life, out var reason)
                ? life.LogLikelihood
                : throw new BrokenRuleException($"{ManyLives} simulated lives allow no fit of {fitted.Description.Id}: {reason.Text}"))
            ?? throw new BrokenRuleException($"The fit of {fitted.Description.Id} has no log-likelihood.");
        foreach (var id in claims)
        {
            var wider = subject.KnownModels.FirstOrDefault(m => m.Description.Id == id);
            Broken.Unless(wider is not null, $"It calls itself a special case of {id}, which is not among the known models.");
            Broken.Unless(
                wider!.Description.Parameters.Count > subject.Family.Parameters.Count,
                $"It calls itself a special case of {id}, which has no more parameters than it has.");
            var log = LogLikelihood(subject.Model);
            var wide = LogLikelihood(wider);
            Broken.Unless(
                wide >= log - LogLikelihoodTolerance,
                $"{id} fits {ManyLives} simulated lives with log-likelihood {wide:G10}, less than {log:G10} of its special case.");
        }

        return Finding.Kept(string.Join(", ", claims));
    }

    private static LifeModelUnderTest AsModel(FamilyUnderTest subject) => new(subject.Model, subject.Members) { Seed = subject.Seed, Lives = subject.Lives, Distribution = _ => subject.Family };
}
