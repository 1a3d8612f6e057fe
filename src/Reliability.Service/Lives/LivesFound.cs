using Google.Protobuf;
using Reliability.Analysis;

namespace Reliability.Service.Lives;

/// <summary>The lives a question is asked of.</summary>
/// <param name="Sample">The lives with their summary.</param>
/// <param name="Revision">The state of the record they rest on; empty for an inline sample.</param>
internal sealed record LivesFound(CohortSample Sample, string Revision)
{
    /// <summary>Where answers to questions of these lives are kept; null where none are.</summary>
    public (LivesMemory Memory, LivesKey Lives, Guid Version)? Kept { get; init; }

    /// <summary>Answers a question of these lives, or finds the answer that it had.</summary>
    /// <param name="question">The question, without the lives: nobody changes it any more.</param>
    /// <param name="answer">Makes the answer, to be left as it is.</param>
    public async Task<T> AnswerAsync<T>(IMessage question, Func<Task<T>> answer)
        where T : class, IMessage
    {
        if (Kept is not { } kept)
            return await answer();
        var key = kept.Lives with { Question = question };
        if (kept.Memory.Find<T>(key, kept.Version) is { } known)
            return known;
        var made = await answer();
        kept.Memory.Keep(key, kept.Version, made, made.CalculateSize() + question.CalculateSize());
        return made;
    }
}
