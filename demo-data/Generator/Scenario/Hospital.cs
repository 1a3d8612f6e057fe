namespace Reliability.DemoData.Scenario;

/// <summary>An invented hospital of the network.</summary>
internal sealed record Hospital
{
    /// <summary>Its name.</summary>
    public required string Name { get; init; }

    /// <summary>Its name in ids and file names.</summary>
    public required string Key { get; init; }

    /// <summary>The form of its records.</summary>
    public required RecordForm Form { get; init; }

    /// <summary>From when it records every module. What was running then is recorded from its age then on.</summary>
    public required DateOnly RecordStart { get; init; }

    /// <summary>How many positions it has for each family, by model id.</summary>
    public required IReadOnlyDictionary<string, int> Positions { get; init; }

    /// <summary>The system its records come from.</summary>
    public string Source => Key + "-maintenance";
}
