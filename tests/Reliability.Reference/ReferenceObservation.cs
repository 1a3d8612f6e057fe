using System.Text.Json.Serialization;

namespace Reliability.Reference;

/// <summary>A row of a reference case; see the README beside the files.</summary>
public sealed record ReferenceObservation
{
    [JsonPropertyName("time")]
    public required double Time { get; init; }

    [JsonPropertyName("upper")]
    public double? Upper { get; init; }

    /// <summary>failure, right, left or interval.</summary>
    [JsonPropertyName("kind")]
    public required string Kind { get; init; }

    [JsonPropertyName("entry")]
    public double Entry { get; init; }

    [JsonPropertyName("count")]
    public double Count { get; init; } = 1;

    [JsonPropertyName("group")]
    public string? Group { get; init; }

    [JsonPropertyName("mode")]
    public string? Mode { get; init; }

    /// <summary>Which position, of recurrent replacements.</summary>
    [JsonPropertyName("label")]
    public string? Label { get; init; }
}
