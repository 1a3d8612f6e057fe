using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>Several life models side by side on the same lives.</summary>
/// <param name="Models">Each model, in the order asked.</param>
/// <param name="Tests">Models against wider ones that contain them.</param>
/// <param name="BestLifeModel">The model with the least criterion; null when no model stands out by 2 or more.</param>
/// <param name="Verdict">What can be said, in words.</param>
/// <param name="Warnings">What should be known of the whole.</param>
public sealed record AssessmentAnswer(
    IReadOnlyList<ModelAssessment> Models,
    IReadOnlyList<NestedModelTest> Tests,
    string? BestLifeModel,
    string Verdict,
    IReadOnlyList<EngineWarning> Warnings);
