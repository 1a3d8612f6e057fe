using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>Finds out how the observation of a sample ended, as far as the request or the sample says.</summary>
internal static class PlanDetection
{
    /// <summary>The plan behind a sample.</summary>
    /// <param name="sample">The lives.</param>
    /// <param name="stated">What the request says.</param>
    public static ObservationPlan Of(LifeSample sample, Termination stated)
    {
        var known = KnownEnds(sample);
        var (termination, basis) = stated switch
        {
            Termination.FailureTerminated when CanBeFailureTerminated(sample) => (stated, PlanBasis.Stated),
            Termination.TimeTerminated => (stated, PlanBasis.Stated),
            Termination.Unspecified when known != PlannedEndSource.Estimated => (Termination.TimeTerminated, PlanBasis.Detected),
            Termination.Unspecified when LooksFailureTerminated(sample) => (Termination.FailureTerminated, PlanBasis.Detected),
            _ => (Termination.TimeTerminated, PlanBasis.Assumed),
        };
        return new(termination, basis, termination == Termination.FailureTerminated ? PlannedEndSource.NotNeeded : known);
    }

    /// <summary>Whether the forms for failure-terminated samples apply: all ages known exactly, all lives watched from the start.</summary>
    public static bool CanBeFailureTerminated(LifeSample sample) => !sample.HasIntervals && !sample.HasLateEntry;

    /// <summary>Whether all survivors were stopped exactly at the greatest failure, or there are none.</summary>
    private static bool LooksFailureTerminated(LifeSample sample)
    {
        if (!CanBeFailureTerminated(sample))
            return false;
        double greatest = 0;
        for (var i = 0; i < sample.RowCount; i++)
        {
            if (sample.Outcomes[i] == LifeOutcome.Failed)
                greatest = Math.Max(greatest, sample.UpperHours[i]);
        }

        for (var i = 0; i < sample.RowCount; i++)
        {
            if (sample.Outcomes[i] == LifeOutcome.Survived && sample.LowerHours[i] != greatest)
                return false;
        }

        return true;
    }

    private static PlannedEndSource KnownEnds(LifeSample sample)
    {
        if (sample.PlannedEndHours.IsEmpty)
            return PlannedEndSource.Estimated;
        double stated = 0;
        for (var i = 0; i < sample.RowCount; i++)
        {
            if (sample.Outcomes[i] != LifeOutcome.Survived && double.IsFinite(sample.PlannedEndHours[i]))
                stated += sample.Counts[i];
        }

        return stated == 0 ? PlannedEndSource.Estimated
            : stated < sample.FailureCount ? PlannedEndSource.PartlyStated
            : PlannedEndSource.Stated;
    }
}
