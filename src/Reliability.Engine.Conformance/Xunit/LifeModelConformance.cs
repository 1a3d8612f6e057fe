using System.Collections.Concurrent;
using Reliability.Engine.Abstractions;
using Xunit;

namespace Reliability.Engine.Conformance;

/// <summary>
/// The battery for a life model as tests: derive a class with a constructor without parameters, name the model and some members, and every
/// rule of <see cref="ConformanceRules.ForLifeModels"/> is a test by its name.
/// </summary>
public abstract class LifeModelConformance
{
    private static readonly ConcurrentDictionary<Type, Lazy<LifeModelUnderTest>> Subjects = new();

    /// <summary>The rules by name, one test each.</summary>
    public static TheoryData<string> Rules => [.. ConformanceRules.ForLifeModels.Select(rule => rule.Name)];

    /// <summary>The life model, in process or remote. Asked once.</summary>
    protected abstract ILifeModel Model { get; }

    /// <summary>One or more sets of parameters from which lives are simulated, the most ordinary one first.</summary>
    protected abstract IReadOnlyList<double[]> Members { get; }

    /// <summary>What is tried; override to say more of it, such as the distribution of simulated lives where the model shows none.</summary>
    /// <returns>The subject.</returns>
    protected virtual LifeModelUnderTest UnderTest() => new(Model, Members);

    /// <summary>Tries one rule.</summary>
    /// <param name="rule">Its name.</param>
    [Theory]
    [MemberData(nameof(Rules))]
    public void Keeps(string rule)
    {
        var subject = Subjects.GetOrAdd(GetType(), _ => new Lazy<LifeModelUnderTest>(UnderTest)).Value;
        ConformanceFailedException.Unless(ConformanceRules.ForLifeModels.Single(r => r.Name == rule).Check(subject));
    }
}
