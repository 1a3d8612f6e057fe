namespace Reliability.Service.Events;

/// <summary>The rules of a whole life in one row.</summary>
internal sealed class LifeReportCheck(EventCheck check)
{
    private const string Row = "life_reported.";

    // From the first hour of the first day to the last of the last, with a change of the clocks; and for a meter that rounds.
    private static readonly TimeSpan DaySlack = TimeSpan.FromHours(49), InstantSlack = TimeSpan.FromHours(1);

    public void Check(V1.LifeReported said, V1.OccurPrecision precision)
    {
        check.Model(said.ModuleModel, Row + "module_model");
        check.Identifiers(said.Identifiers, Row + "identifiers");
        check.Condition(said.Condition, Row + "condition");
        check.Text(said.Site, Row + "site", 200);
        check.Text(said.HostModel, Row + "host_model", 200);
        check.Text(said.Lot, Row + "lot", 200);
        check.Text(said.FailureMode, Row + "failure_mode", 100);
        check.EventTime(said.CompleteFrom, Row + "complete_from");
        check.Defined(said.RemovalReason, Row + "removal_reason");
        var timesAreRight = Times(said);
        Outcome(said);
        if (Ages(said) && timesAreRight)
            Pace(said, precision);
    }

    private bool Times(V1.LifeReported said)
    {
        var startIsRight = check.EventTime(said.StartTime, Row + "start_time", required: true);
        var endIsRight = check.EventTime(said.EndTime, Row + "end_time", required: true);
        if (!startIsRight || !endIsRight)
            return false;
        if (said.EndTime >= said.StartTime)
            return true;
        check.Refuse(Row + "end_time", "must not be before start_time");
        return false;
    }

    private void Outcome(V1.LifeReported said)
    {
        switch (said.Outcome)
        {
            case V1.LifeOutcome.Failed when said.InService:
                check.Refuse(Row + "in_service", "must not be set for a life that failed");
                return;
            case V1.LifeOutcome.Survived when said.RemovalReason == V1.RemovalReason.Failed:
                check.Refuse(Row + "outcome", "must be LIFE_OUTCOME_FAILED where removal_reason is REMOVAL_REASON_FAILED");
                return;
            case V1.LifeOutcome.Failed or V1.LifeOutcome.Survived:
                return;
            case V1.LifeOutcome.Between:
                check.Refuse(
                    Row + "outcome", "must be LIFE_OUTCOME_FAILED for a failure found late, with age_last_working");
                return;
            default:
                check.Refuse(Row + "outcome", "must be LIFE_OUTCOME_FAILED or LIFE_OUTCOME_SURVIVED");
                return;
        }
    }

    private bool Ages(V1.LifeReported said)
    {
        if (!check.RequiredHours(said.HasAgeAtEnd, said.AgeAtEnd, Row + "age_at_end"))
            return false;
        if (check.Hours(said.HasAgeAtObservation, said.AgeAtObservation, Row + "age_at_observation")
            && said.AgeAtObservation > said.AgeAtEnd)
        {
            check.Refuse(Row + "age_at_observation", Above(said.AgeAtObservation, said.AgeAtEnd));
        }

        if (check.Hours(said.HasAgeLastWorking, said.AgeLastWorking, Row + "age_last_working")
            && said.AgeLastWorking > said.AgeAtEnd)
        {
            check.Refuse(Row + "age_last_working", Above(said.AgeLastWorking, said.AgeAtEnd));
        }

        return true;
    }

    // No module runs more than 24 hours a day. A mistyped digit would else move the answers of everybody who has that model.
    private void Pace(V1.LifeReported said, V1.OccurPrecision precision)
    {
        var most = (said.EndTime.ToDateTimeOffset() - said.StartTime.ToDateTimeOffset()
            + (precision == V1.OccurPrecision.Day ? DaySlack : InstantSlack)).TotalHours;
        if (said.AgeAtEnd > most)
        {
            check.Refuse(Row + "age_at_end",
                $"must not be more than 24 hours a day from start_time to end_time allow ({EventCheck.Number(Math.Floor(most))}); "
                + $"got {EventCheck.Number(said.AgeAtEnd)}");
        }
    }

    private static string Above(double age, double end) =>
        $"must not be above age_at_end; got {EventCheck.Number(age)} and {EventCheck.Number(end)}";
}
