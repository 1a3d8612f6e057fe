using Reliability.Analysis;

namespace Reliability.Service.Lives;

/// <summary>The lives a question is asked of.</summary>
/// <param name="Sample">The lives with their summary.</param>
/// <param name="Revision">The state of the record they rest on; empty for an inline sample.</param>
internal sealed record LivesFound(CohortSample Sample, string Revision);
