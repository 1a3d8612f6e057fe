namespace Reliability.Analysis;

/// <summary>A cohort with a name.</summary>
/// <param name="Name">Name for the answer, 1 to 100 characters.</param>
/// <param name="Lives">Its lives.</param>
public sealed record ComparisonGroup(string Name, CohortSample Lives);
