namespace Reliability.History.Catalogue;

/// <summary>A type of module, with all versions of what its maker says of it and what it costs.</summary>
public sealed record ModuleModel
{
    /// <summary>Resource id of the model.</summary>
    public required string Id { get; init; }

    /// <summary>
    /// The versions in the order in which they were recorded; at least one. The first holds from the beginning, whatever
    /// its effective time.
    /// </summary>
    public required IReadOnlyList<ModuleModelVersion> Versions { get; init; }

    /// <summary>The version in force at a time: the one with the latest effective time not after it.</summary>
    /// <param name="time">The time, UTC.</param>
    /// <exception cref="InvalidOperationException">The model has no version.</exception>
    public ModuleModelVersion InForceAt(DateTimeOffset time)
    {
        if (Versions.Count == 0)
            throw new InvalidOperationException($"Module model '{Id}' has no version.");

        var found = Versions[0];
        var since = DateTimeOffset.MinValue;
        foreach (var version in Versions.Skip(1))
        {
            var from = version.EffectiveTime ?? DateTimeOffset.MinValue;
            if (from <= time && from >= since)
                (found, since) = (version, from);
        }

        return found;
    }
}
