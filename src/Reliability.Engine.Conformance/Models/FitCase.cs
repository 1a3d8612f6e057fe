using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Conformance;

/// <summary>One sample fitted one way, and all that came of it.</summary>
/// <param name="Name">The sample and the bounds method, for people.</param>
/// <param name="Life">The fitted life; null when there is none.</param>
/// <param name="Reason">Why there is none; null when there is one.</param>
/// <param name="Thrown">What was thrown instead of either.</param>
/// <param name="Answers">Answers of the fitted life.</param>
internal sealed record FitCase(
    string Name, IFittedLife? Life, NotEstimable? Reason, Exception? Thrown, IReadOnlyList<FitAnswer> Answers);

/// <summary>One answer of a fitted life, or what was thrown instead.</summary>
/// <param name="Question">The question, for people.</param>
/// <param name="Kind">What the answer is a number of.</param>
/// <param name="Estimate">The answer; null when something was thrown.</param>
/// <param name="Thrown">What was thrown.</param>
internal sealed record FitAnswer(string Question, AnswerKind Kind, BoundedEstimate? Estimate, Exception? Thrown);

/// <summary>What an answer is a number of.</summary>
internal enum AnswerKind
{
    /// <summary>A parameter.</summary>
    Parameter,

    /// <summary>Hours.</summary>
    Life,

    /// <summary>A probability.</summary>
    Probability,
}
