using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Families;

/// <summary>
/// A family whose every answer takes a journey, to another process. It can answer many questions in one, if it is told before what will be
/// asked; and it is of no use to ask it on more threads than it answers at once.
/// </summary>
internal interface IDistantFamily : ILifeFamily
{
    /// <summary>Questions that it answers at one time.</summary>
    int MostCallers { get; }

    /// <summary>Tells what this thread will ask next, of each of some members. Changes no answer.</summary>
    /// <param name="questions">The questions.</param>
    /// <param name="members">Parameters on their natural scale, inside their domains.</param>
    void Expect(IReadOnlyList<FamilyQuestion> questions, IReadOnlyList<double[]> members);
}
