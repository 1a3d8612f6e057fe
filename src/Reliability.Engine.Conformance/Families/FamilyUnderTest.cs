using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Conformance;

/// <summary>A family and what its author says of it, for the rules to be tried on.</summary>
public sealed class FamilyUnderTest
{
    /// <summary>Lives of a simulated sample when nobody says.</summary>
    public const int UsualLives = 400;

    /// <summary>The least that lives of a simulated sample may be.</summary>
    public const int FewestLives = 100;

    private ILifeModel? _model;

    /// <summary>States what is tried.</summary>
    /// <param name="family">The distribution; in process or remote.</param>
    /// <param name="source">Where it is published.</param>
    /// <param name="members">Two or more sets of parameters as they occur in practice, the most ordinary one first.</param>
    public FamilyUnderTest(ILifeFamily family, string source, IReadOnlyList<double[]> members)
    {
        ArgumentNullException.ThrowIfNull(family);
        ArgumentNullException.ThrowIfNull(members);
        Family = family;
        Source = source;
        Members = members;
    }

    /// <summary>The distribution.</summary>
    public ILifeFamily Family { get; }

    /// <summary>Where it is published.</summary>
    public string Source { get; }

    /// <summary>Sets of parameters as they occur, the most ordinary one first.</summary>
    public IReadOnlyList<double[]> Members { get; }

    /// <summary>Ages in hours at which the density of a member jumps; none for most families.</summary>
    public Func<double[], IReadOnlyList<double>> Corners { get; init; } = _ => [];

    /// <summary>Life models among which <see cref="ILifeFamily.SpecialCaseOf"/> and <see cref="ILifeFamily.BorderCaseOf"/> find the wider ones.</summary>
    public IReadOnlyList<ILifeModel> KnownModels { get; init; } = BuiltInLifeModels.CreateCatalog().Models;

    /// <summary>Seed of what is simulated; the same seed gives the same report.</summary>
    public int Seed { get; init; } = 1;

    /// <summary>Lives of each simulated sample, <see cref="FewestLives"/> or more. Fewer cost less and show less: the rules' bounds follow from
    /// the estimates' own standard errors.</summary>
    public int Lives { get; init; } = UsualLives;

    /// <summary>The life model that is made of the family: what the engine makes of any, unless it has one of its own.</summary>
    public ILifeModel Model
    {
        get => _model ??= BuiltInLifeModels.FromFamily(Family, Source, "under-test");
        init => _model = value;
    }
}
