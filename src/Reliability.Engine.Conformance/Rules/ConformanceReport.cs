using System.Globalization;

namespace Reliability.Engine.Conformance;

/// <summary>The whole battery on one family or life model, for use without a test framework.</summary>
/// <param name="Subject">Id of what was tried.</param>
/// <param name="Results">One result a rule, in the order of the battery.</param>
public sealed record ConformanceReport(string Subject, IReadOnlyList<ConformanceResult> Results)
{
    /// <summary>Whether no rule is broken.</summary>
    public bool IsConformant => Results.All(r => r.Verdict != ConformanceVerdict.Broken);

    /// <summary>The rules that are broken.</summary>
    public IReadOnlyList<ConformanceResult> Broken => [.. Results.Where(r => r.Verdict == ConformanceVerdict.Broken)];

    /// <summary>Tries every rule for families, on the calling thread but for those rules that are about threads.</summary>
    /// <param name="subject">The family.</param>
    /// <returns>The report.</returns>
    public static ConformanceReport Of(FamilyUnderTest subject)
    {
        ArgumentNullException.ThrowIfNull(subject);
        return new(subject.Family.Id, [.. ConformanceRules.ForFamilies.Select(rule => rule.Check(subject))]);
    }

    /// <summary>Tries every rule for life models, on the calling thread but for those rules that are about threads and cancellation.</summary>
    /// <param name="subject">The life model.</param>
    /// <returns>The report.</returns>
    public static ConformanceReport Of(LifeModelUnderTest subject)
    {
        ArgumentNullException.ThrowIfNull(subject);
        return new(subject.Model.Description.Id, [.. ConformanceRules.ForLifeModels.Select(rule => rule.Check(subject))]);
    }

    /// <summary>A line for each rule and one for the whole.</summary>
    /// <returns>Text for people.</returns>
    public override string ToString() => string.Join(
        Environment.NewLine,
        Results.Select(r => r.ToString()).Append(string.Create(
            CultureInfo.InvariantCulture,
            $"{Subject}: {Results.Count(r => r.Verdict == ConformanceVerdict.Kept)} kept, {Broken.Count} broken, {Results.Count(r => r.Verdict == ConformanceVerdict.NotClaimed)} not claimed, {Results.Count(r => r.Verdict == ConformanceVerdict.NotChecked)} not checked")));
}
