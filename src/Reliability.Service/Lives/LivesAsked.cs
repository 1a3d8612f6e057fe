using Reliability.Analysis;
using Reliability.Engine.Abstractions;

namespace Reliability.Service.Lives;

/// <summary>Which lives a question is of: a cohort on record, or a sample given with it.</summary>
/// <param name="Cohort">The cohort, or null.</param>
/// <param name="Inline">The sample, or null.</param>
/// <param name="CohortPath">Where the cohort stands in the request, such as <c>groups[1].cohort.</c></param>
internal sealed record LivesAsked(CohortSelection? Cohort, LifeSample? Inline, string CohortPath);
