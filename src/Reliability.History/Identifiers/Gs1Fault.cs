using System.Globalization;

namespace Reliability.History.Identifiers;

/// <summary>Why a text is no GS1 element string.</summary>
/// <param name="Position">The character at which the rule is broken, 1 for the first.</param>
/// <param name="Rule">The rule.</param>
public readonly record struct Gs1Fault(int Position, string Rule)
{
    /// <inheritdoc/>
    public override string ToString() => string.Create(CultureInfo.InvariantCulture, $"at character {Position}: {Rule}");
}
