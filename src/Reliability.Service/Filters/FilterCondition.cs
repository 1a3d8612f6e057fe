namespace Reliability.Service.Filters;

/// <summary>One condition of a filter: a field must have a value.</summary>
/// <param name="Field">The field.</param>
/// <param name="Value">The value.</param>
internal readonly record struct FilterCondition(string Field, string Value);
