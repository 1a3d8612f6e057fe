namespace Reliability.Engine.Families;

/// <summary>A question to a member of a family.</summary>
/// <param name="Kind">What is asked.</param>
/// <param name="Arguments">At which ages or fractions; one that is ignored for a mean.</param>
internal sealed record FamilyQuestion(FamilyAnswer Kind, double[] Arguments)
{
    /// <summary>The mean life.</summary>
    public static FamilyQuestion Mean { get; } = new(FamilyAnswer.Mean, [0]);
}
