using System.Globalization;
using Reliability.Engine.Abstractions;
using Reliability.Engine.Conformance;
using Reliability.Engine.PlugIns;

namespace Reliability.PlugInCheck;

/// <summary>The rules tried on all that a plug-in brings.</summary>
/// <param name="members">Parameters from which lives are simulated, by the id of the life model.</param>
/// <param name="lives">Lives of a simulated sample.</param>
/// <param name="rules">Rules to be tried; all when none is named.</param>
/// <param name="output">Takes a line a rule.</param>
internal sealed class Battery(ILookup<string, double[]> members, int lives, IReadOnlyList<string> rules, TextWriter output)
{
    private int _kept, _broken, _notTried;

    /// <summary>Tries them.</summary>
    /// <param name="offered">The plug-in as it was loaded or reached.</param>
    /// <param name="processStarts">For one in a process of its own: how often that was started.</param>
    /// <returns>One of <see cref="ExitCode"/>.</returns>
    /// <exception cref="UsageException">The command line does not fit the plug-in.</exception>
    public int Try(OfferedPlugIn offered, Func<int>? processStarts)
    {
        var plugIn = offered.PlugIn;
        CheckArguments(plugIn);
        var catalog = PlugInCatalog.Of([offered], []);
        if (catalog.Refused is [var refusal, ..])
            Say("Broken", "taken-by-the-service", refusal.Reason);
        var models = catalog.Models.Models;
        foreach (var (family, source) in plugIn.Families.Select(f => (f.Family, f.Source)))
        {
            output.WriteLine($"{family.Id}, a family:");
            var subject = new FamilyUnderTest(family, source, [.. members[family.Id]]) { Lives = lives, KnownModels = models };
            Try(ConformanceRules.ForFamilies, subject);
        }

        foreach (var model in plugIn.Estimators)
        {
            output.WriteLine($"{model.Description.Id}, an estimator:");
            if (Untried(model) is { } why)
                Say("NotChecked", "all rules", why);
            else
                Try(ConformanceRules.ForLifeModels, new LifeModelUnderTest(model, [.. MembersOf(model)]) { Lives = lives, ProcessStarts = processStarts });
        }

        output.WriteLine(string.Create(
            CultureInfo.InvariantCulture, $"{plugIn.Id} {plugIn.Version}: {_kept} kept, {_broken} broken, {_notTried} not claimed or not checked"));
        return _broken > 0 || plugIn.Estimators.Any(model => Untried(model) is not null) ? ExitCode.Broken : ExitCode.Kept;
    }

    /// <summary>Members of the estimator, or of its family when that is one of the plug-in's.</summary>
    private IEnumerable<double[]> MembersOf(ILifeModel model) =>
        members.Contains(model.Description.Id) || model.Family is null ? members[model.Description.Id] : members[model.Family.Id];

    private static string? Untried(ILifeModel model) => (model.Family, model.Description.Capabilities.FitsFailureModes) switch
    {
        (null, _) => "It names no family from which lives could be simulated: derive LifeModelConformance and say by Distribution what they are.",
        (_, true) => "It fits failure modes: derive LifeModelConformance and say by FailureMode how lives fail.",
        _ => null,
    };

    private void CheckArguments(ILifeModelPlugIn plugIn)
    {
        if (lives < FamilyUnderTest.FewestLives)
            throw new UsageException($"--lives must be {FamilyUnderTest.FewestLives} or more.");
        var known = ConformanceRules.ForFamilies.Select(r => r.Name).Concat(ConformanceRules.ForLifeModels.Select(r => r.Name)).ToHashSet();
        if (rules.FirstOrDefault(rule => !known.Contains(rule)) is { } unknown)
            throw new UsageException($"--rule {unknown}: there is no such rule. There are {string.Join(", ", known)}.");
        var needed = plugIn.Families.Select(f => (f.Family.Id, f.Family.Parameters, Fewest: 2, Given: members[f.Family.Id]))
            .Concat(plugIn.Estimators.Where(m => Untried(m) is null).Select(m => (m.Description.Id, m.Description.Parameters, Fewest: 1, Given: MembersOf(m)))).ToList();
        if (members.Select(m => m.Key).FirstOrDefault(id => needed.TrueForAll(n => n.Id != id)) is { } stranger)
            throw new UsageException($"--member {stranger}=...: the plug-in has no life model of this id.");
        foreach (var (id, parameters, fewest, given) in needed)
        {
            var names = string.Join(", ", parameters.Select(p => p.Name));
            if (given.Count() < fewest)
                throw new UsageException($"Name {fewest} or more members of {id} by --member {id}=VALUE,... with values of {names}, as they occur in practice.");
            if (given.Any(member => member.Length != parameters.Count))
                throw new UsageException($"A member of {id} has values of {names}.");
        }
    }

    private void Try<T>(IEnumerable<ConformanceRule<T>> all, T subject)
    {
        foreach (var rule in all.Where(rule => rules.Count == 0 || rules.Contains(rule.Name)))
        {
            var result = rule.Check(subject);
            Say(result.Verdict.ToString(), rule.Name, result.Verdict == ConformanceVerdict.Broken ? $"{result.Demand} {result.Text}" : result.Text);
        }
    }

    private void Say(string verdict, string rule, string text)
    {
        switch (verdict)
        {
            case nameof(ConformanceVerdict.Kept): _kept++; break;
            case nameof(ConformanceVerdict.Broken): _broken++; break;
            default: _notTried++; break;
        }

        output.WriteLine($"  {verdict,-10} {rule,-22} {text}");
        output.Flush();
    }
}
