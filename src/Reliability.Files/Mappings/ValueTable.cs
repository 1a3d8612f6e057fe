namespace Reliability.Files.Mappings;

/// <summary>Another system's codes and what they are in our words.</summary>
/// <param name="Name">Its name in the mapping.</param>
/// <param name="Values">By code; null where a code says nothing.</param>
internal sealed record ValueTable(string Name, IReadOnlyDictionary<string, string?> Values)
{
    /// <summary>Where a code stands in the mapping.</summary>
    public string PathOf(string code) => $"tables.{Name}.{Quoted.Plain(code)}";
}
