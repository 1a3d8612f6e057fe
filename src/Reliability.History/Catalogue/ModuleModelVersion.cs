namespace Reliability.History.Catalogue;

/// <summary>What holds for a module model from some time on.</summary>
public sealed record ModuleModelVersion
{
    /// <summary>
    /// From when it holds, UTC; null on an update means from the beginning. The first version of a model always holds from
    /// the beginning.
    /// </summary>
    public DateTimeOffset? EffectiveTime { get; init; }

    /// <summary>A name for people.</summary>
    public string? DisplayName { get; init; }

    /// <summary>The maker's part number.</summary>
    public string? PartNumber { get; init; }

    /// <summary>Unit of measured output, such as uW/cm2/nm; null when output is not measured in a unit.</summary>
    public string? OutputUnit { get; init; }

    /// <summary>The output below which a module counts as failed; null when there is none.</summary>
    public OutputThreshold? OutputThreshold { get; init; }

    /// <summary>Recommended maxima and warranties, per condition and refurbisher.</summary>
    public IReadOnlyList<RatedLife> RatedLives { get; init; } = [];

    /// <summary>What modules and their failures cost; null when nothing is known.</summary>
    public ModuleCosts? Costs { get; init; }

    /// <summary>Handling cautions that go with every answer that leads someone to change such a module.</summary>
    public IReadOnlyList<Caution> Cautions { get; init; } = [];

    /// <summary>
    /// The rated life for a condition: the most specific that matches. A refurbisher named weighs more than a condition
    /// named; of equally specific ones the first.
    /// </summary>
    /// <param name="condition">New, or refurbished and by whom.</param>
    /// <returns>The rated life, or null when none matches.</returns>
    public RatedLife? RatedLifeFor(Events.Condition condition) =>
        RatedLives.Where(rated => rated.Matches(condition)).MaxBy(rated => rated.Specificity);
}
