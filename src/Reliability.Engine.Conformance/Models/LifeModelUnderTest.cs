using System.Collections.Concurrent;
using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Conformance;

/// <summary>A life model and what its author says of it, for the rules to be tried on.</summary>
public sealed class LifeModelUnderTest
{
    private readonly Lazy<IReadOnlyList<FitCase>> _evidence;
    private readonly ConcurrentDictionary<string, LifeTable> _tables = new();
    private readonly ConcurrentDictionary<string, Dictionary<string, List<Departure>>> _recovered = new();

    /// <summary>States what is tried.</summary>
    /// <param name="model">The life model, in process or remote.</param>
    /// <param name="members">One or more sets of parameters of <see cref="Distribution"/> from which lives are simulated, the most ordinary one
    /// first. Samples of some hundred lives must tell its parameters well.</param>
    public LifeModelUnderTest(ILifeModel model, IReadOnlyList<double[]> members)
    {
        ArgumentNullException.ThrowIfNull(model);
        ArgumentNullException.ThrowIfNull(members);
        Model = model;
        Members = members;
        Distribution = _ => model.Family
            ?? throw new InvalidOperationException("The model shows no family: say by Distribution from what lives are to be simulated.");
        _evidence = new Lazy<IReadOnlyList<FitCase>>(() => Evidence.Of(this));
    }

    /// <summary>The life model.</summary>
    public ILifeModel Model { get; }

    /// <summary>Sets of parameters from which lives are simulated, the most ordinary one first.</summary>
    public IReadOnlyList<double[]> Members { get; }

    /// <summary>The distribution from which lives with a member's parameters are simulated, and which the model is to find again; its
    /// parameters have the names of the model's. The model's own family unless said otherwise.</summary>
    public Func<double[], ILifeFamily> Distribution { get; init; }

    /// <summary>For a model that fits failure modes: the mode of a life of a member that failed at an age, drawn by chance.</summary>
    public Func<double[], double, Random, string?>? FailureMode { get; init; }

    /// <summary>Seed of what is simulated; the same seed gives the same report.</summary>
    public int Seed { get; init; } = 1;

    /// <summary>Lives of each simulated sample, <see cref="FamilyUnderTest.FewestLives"/> or more. Fewer cost less and show less: the rules'
    /// bounds follow from the estimates' own standard errors.</summary>
    public int Lives { get; init; } = FamilyUnderTest.UsualLives;

    /// <summary>For a model in a process of its own: how often that process was started so far. A host cuts a cancelled call off whatever the
    /// process does, so that without it the rule on cancellation at work sees the host's side alone. Null for what is in this process.</summary>
    public Func<int>? ProcessStarts { get; init; }

    /// <summary>Fits of many samples with all their answers, made once.</summary>
    internal IReadOnlyList<FitCase> AllEvidence => _evidence.Value;

    /// <summary>Estimates from simulated samples against the truth, by the name of the estimate, made once.</summary>
    internal Dictionary<string, List<Departure>> Recovered(string key, Func<Dictionary<string, List<Departure>>> make) => _recovered.GetOrAdd(key, _ => make());

    /// <summary>What the model says it can do.</summary>
    internal LifeModelCapabilities Capabilities => Model.Description.Capabilities;

    /// <summary>A simulated sample that suits the model.</summary>
    internal LifeSample Draw(int lives, Watching watching, int number = 0, double[]? member = null)
    {
        var from = member ?? Members[0];
        return Simulation.Draw(
            _tables.GetOrAdd(DescriptionRules.Named(from), _ => new LifeTable(Distribution(from), from)), lives, watching, unchecked(Seed * 1_000_003 + number), FailureMode is null ? null : (hours, random) => FailureMode(from, hours, random));
    }

    /// <summary>A bounds method that the model has, normal approximation if it can: the others cost more.</summary>
    internal FitOptions Cheapest(bool held = false)
    {
        var methods = held ? Capabilities.BoundsMethodsWithFixedParameters : Capabilities.BoundsMethods;
        Broken.Unless(methods.Count > 0, $"The model claims no bounds method{(held ? " with held parameters" : "")}, so that it cannot be asked for a fit.");
        return new FitOptions
        {
            BoundsMethod = methods.Contains(BoundsMethod.NormalApproximation) ? BoundsMethod.NormalApproximation : methods.Min(),
            Replicates = FitOptions.FewestReplicates,
        };
    }

    /// <summary>A simulated sample that can be fitted, and its fit. Small samples of some models cannot be: so many are tried.</summary>
    internal (LifeSample Sample, IFittedLife Life) Fitted(
        int lives, Watching watching, int number, FitOptions options, FormattableString what, double[]? member = null)
    {
        const int Tries = 10, Far = 100_000;
        for (var k = 0; k + 1 < Tries; k++)
        {
            var sample = Draw(lives, watching, number + k * Far, member);
            if (Model.Fit(sample, options).TryGet(out var life, out _))
                return (sample, life);
        }

        var last = Draw(lives, watching, number + Tries * Far, member);
        return (last, MustFit(last, options, what));
    }

    /// <summary>A fit that there must be; the rule is broken when there is none.</summary>
    internal IFittedLife MustFit(LifeSample sample, FitOptions options, FormattableString what)
    {
        var answer = Model.Fit(sample, options);
        Broken.Unless(answer is not null, $"{what}: it gave neither a fit nor a reason.");
        return answer!.TryGet(out var life, out var reason)
            ? life
            : throw new BrokenRuleException(FormattableString.Invariant($"{what}: no fit ({reason.Reason}: {reason.Text})"));
    }
}
