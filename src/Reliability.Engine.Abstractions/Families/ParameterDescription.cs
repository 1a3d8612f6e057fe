namespace Reliability.Engine.Abstractions;

/// <summary>A parameter of a life model.</summary>
/// <param name="Name">Name used in answers and requests, for example <c>shape</c>.</param>
/// <param name="Unit"><c>hours</c>, or empty for a pure number.</param>
/// <param name="Lower">Lower end of the domain, exclusive unless <see cref="IncludesLower"/>; negative infinity when there is none.</param>
/// <param name="Upper">Upper end of the domain, exclusive; positive infinity when there is none.</param>
/// <param name="Transform">Scale on which it is unbounded.</param>
public sealed record ParameterDescription(
    string Name, string Unit, double Lower, double Upper, ParameterTransform Transform)
{
    /// <summary>Whether <see cref="Lower"/> itself belongs to the domain.</summary>
    public bool IncludesLower { get; init; }

    /// <summary>A positive parameter estimated on the log scale.</summary>
    /// <param name="name">Its name.</param>
    /// <param name="unit"><c>hours</c>, or empty.</param>
    /// <returns>The description.</returns>
    public static ParameterDescription Positive(string name, string unit = "") =>
        new(name, unit, 0, double.PositiveInfinity, ParameterTransform.Log);

    /// <summary>A parameter that may be any number.</summary>
    /// <param name="name">Its name.</param>
    /// <param name="unit"><c>hours</c>, or empty.</param>
    /// <returns>The description.</returns>
    public static ParameterDescription Real(string name, string unit = "") =>
        new(name, unit, double.NegativeInfinity, double.PositiveInfinity, ParameterTransform.Identity);

    /// <summary>Whether a value lies in the domain.</summary>
    /// <param name="value">The value.</param>
    /// <returns>True when finite and between <see cref="Lower"/> and <see cref="Upper"/>.</returns>
    public bool Allows(double value) => double.IsFinite(value) && (value > Lower || (IncludesLower && value == Lower)) && value < Upper;
}
