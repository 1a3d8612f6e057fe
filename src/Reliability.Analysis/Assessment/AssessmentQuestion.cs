namespace Reliability.Analysis;

/// <summary>What is wanted of an assessment of life models.</summary>
public sealed record AssessmentQuestion
{
    /// <summary>Ids of the life models; all on offer when empty.</summary>
    public IReadOnlyList<string> LifeModels { get; init; } = [];

    /// <summary>What each fit is asked; its life model is not looked at.</summary>
    public FitQuestion OfEach { get; init; } = new();

    /// <summary>Samples to simulate for the test of each fit; none when 0.</summary>
    public int Replicates { get; init; }
}
