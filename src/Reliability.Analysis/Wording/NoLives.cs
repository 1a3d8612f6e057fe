using System.Globalization;
using Reliability.Engine.Abstractions;
using Reliability.History.Lives;

namespace Reliability.Analysis;

/// <summary>Says of a cohort on record why there are no lives to answer from: nothing fits, or all that fits was left out.</summary>
public static class NoLives
{
    /// <summary>The reason as it is, or, where the lives of a cohort are missing, with what the record tells of them.</summary>
    /// <param name="reason">Why there is no answer.</param>
    /// <param name="summary">What the sample holds.</param>
    /// <returns>A reason with the same code.</returns>
    public static NotEstimable Explained(NotEstimable reason, SampleSummary summary)
    {
        ArgumentNullException.ThrowIfNull(reason);
        ArgumentNullException.ThrowIfNull(summary);
        return reason.Reason == NotEstimableReasons.NoObservations && summary.ModuleCount is not null
            ? reason with { Text = Text(summary) }
            : reason;
    }

    /// <summary>Why none of several cohorts has lives, each by its name where the reasons differ.</summary>
    /// <param name="groups">The cohorts.</param>
    /// <returns>Sentences.</returns>
    public static string OfAll(IReadOnlyList<ComparisonGroup> groups)
    {
        ArgumentNullException.ThrowIfNull(groups);
        List<string> texts = [.. groups.Select(group => Explained(new(NotEstimableReasons.NoObservations, "There are no lives."), group.Lives.Summary).Text)];
        return texts.Distinct().Count() == 1
            ? $"No cohort has lives. {texts[0]}"
            : string.Join(' ', groups.Select((group, i) => $"{group.Name}: {texts[i]}"));
    }

    private static string Text(SampleSummary summary)
    {
        if (summary.ExcludedLives.Count == 0)
        {
            return "No life on record fits this cohort. Check the spelling: the lists of attribute values and of module models tell what is in "
                + "use. A module that is not registered has no lives yet: its events wait.";
        }

        var reasons = string.Join(", ", summary.ExcludedLives.Select(e => string.Create(CultureInfo.InvariantCulture, $"{e.Reason} {e.Count:#,0}")));
        return $"There are no lives to answer from: {Words.Count(summary.ExcludedLives.Sum(e => e.Count), "life fits", "lives fit")} this cohort, "
            + $"all left out: {reasons}."
            // The one reason that a caller can mend at once.
            + (summary.ExcludedLives.Any(e => e.Reason == Words.Code(LifeExclusion.ModelUnknown))
                ? " Those of unknown model count once their module model is created."
                : string.Empty);
    }
}
