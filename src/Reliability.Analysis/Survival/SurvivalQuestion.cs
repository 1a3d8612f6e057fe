namespace Reliability.Analysis;

/// <summary>What is asked of lives without a life model.</summary>
public sealed record SurvivalQuestion
{
    /// <summary>Level of the two-sided bounds, 0.5 to 0.9999.</summary>
    public double ConfidenceLevel { get; init; } = 0.95;

    /// <summary>
    /// Age to which the restricted mean counts, run-hours above 0; null takes the rated hours that all lives share where some
    /// life was watched so long, else the oldest age in the sample.
    /// </summary>
    public double? AgeLimitHours { get; init; }
}
