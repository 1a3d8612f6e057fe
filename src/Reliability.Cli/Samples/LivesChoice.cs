using Reliability.V1;

namespace Reliability.Cli.Samples;

/// <summary>The lives a question is about: exactly one of the two is there.</summary>
/// <param name="Name">What they are called on tables and plots.</param>
/// <param name="Cohort">Lives on record.</param>
/// <param name="Sample">Lives from a file.</param>
internal sealed record LivesChoice(string Name, Cohort? Cohort, InlineSample? Sample);
