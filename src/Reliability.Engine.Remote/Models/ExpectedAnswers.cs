using Reliability.Engine.Families;

namespace Reliability.Engine.Remote.Models;

/// <summary>
/// Answers that were fetched together, because their questions were foretold: the last few sets of a thread. Families are pure functions,
/// so an answer is the same whenever it was given.
/// </summary>
internal sealed class ExpectedAnswers
{
    // Those of the likelihood and of a quantity are asked in turns.
    private const int MostSets = 4;

    [ThreadStatic]
    private static ExpectedAnswers? _ofThread;

    private readonly RemoteFamily _family;
    private readonly Queue<Set> _sets = new();

    private ExpectedAnswers(RemoteFamily family) => _family = family;

    /// <summary>What this thread has of a family.</summary>
    public static ExpectedAnswers Of(RemoteFamily family) =>
        _ofThread is { } known && ReferenceEquals(known._family, family) ? known : _ofThread = new ExpectedAnswers(family);

    /// <summary>Whether all of it is there.</summary>
    public bool Has(IReadOnlyList<FamilyQuestion> questions, IReadOnlyList<double[]> members) =>
        _sets.Any(set => ReferenceEquals(set.Questions, questions) && members.All(member => set.IndexOf(member) >= 0));

    /// <summary>Keeps answers, and lets go of the oldest.</summary>
    /// <param name="questions">The questions.</param>
    /// <param name="members">The members that were asked them.</param>
    /// <param name="answers">Of each member, those to each question.</param>
    public void Keep(IReadOnlyList<FamilyQuestion> questions, IReadOnlyList<double[]> members, double[][][] answers)
    {
        if (_sets.Count == MostSets)
            _sets.Dequeue();
        _sets.Enqueue(new(questions, members, answers));
    }

    /// <summary>Answers a question if its answer is there.</summary>
    /// <returns>Whether it was answered.</returns>
    public bool TryTake(FamilyAnswer kind, ReadOnlySpan<double> parameters, ReadOnlySpan<double> arguments, Span<double> result)
    {
        foreach (var set in _sets)
        {
            for (var q = 0; q < set.Questions.Count; q++)
            {
                if (set.Questions[q].Kind != kind || !arguments.SequenceEqual(set.Questions[q].Arguments) || set.IndexOf(parameters) is not (>= 0 and var member))
                    continue;
                set.Answers[member][q].CopyTo(result);
                return true;
            }
        }

        return false;
    }

    private sealed record Set(IReadOnlyList<FamilyQuestion> Questions, IReadOnlyList<double[]> Members, double[][][] Answers)
    {
        public int IndexOf(ReadOnlySpan<double> parameters)
        {
            for (var i = 0; i < Members.Count; i++)
            {
                if (parameters.SequenceEqual(Members[i]))
                    return i;
            }

            return -1;
        }
    }
}
