using System.Collections.Concurrent;
using Reliability.Engine.Abstractions;
using Xunit;

namespace Reliability.Engine.Conformance;

/// <summary>
/// The battery for a distribution as tests: derive a class with a constructor without parameters, name the family, its source and some
/// members, and every rule of <see cref="ConformanceRules.ForFamilies"/> is a test by its name.
/// </summary>
public abstract class FamilyConformance
{
    private static readonly ConcurrentDictionary<Type, Lazy<FamilyUnderTest>> Subjects = new();

    /// <summary>The rules by name, one test each.</summary>
    public static TheoryData<string> Rules => [.. ConformanceRules.ForFamilies.Select(rule => rule.Name)];

    /// <summary>The distribution, in process or remote. Asked once.</summary>
    protected abstract ILifeFamily Family { get; }

    /// <summary>Where it is published.</summary>
    protected abstract string Source { get; }

    /// <summary>Two or more sets of parameters as they occur in practice, the most ordinary one first.</summary>
    protected abstract IReadOnlyList<double[]> Members { get; }

    /// <summary>What is tried; override to say more of it, such as where a density jumps.</summary>
    /// <returns>The subject.</returns>
    protected virtual FamilyUnderTest UnderTest() => new(Family, Source, Members);

    /// <summary>Tries one rule.</summary>
    /// <param name="rule">Its name.</param>
    [Theory]
    [MemberData(nameof(Rules))]
    public void Keeps(string rule)
    {
        var subject = Subjects.GetOrAdd(GetType(), _ => new Lazy<FamilyUnderTest>(UnderTest)).Value;
        ConformanceFailedException.Unless(ConformanceRules.ForFamilies.Single(r => r.Name == rule).Check(subject));
    }
}
