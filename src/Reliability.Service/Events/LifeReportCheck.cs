namespace Reliability.Service.Events;

/// <summary>The rules of a whole life in one row.</summary>
internal sealed class LifeReportCheck(EventCheck check)
{
    private const string Row = "life_reported.";

    public void Check(V1.LifeReported said)
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
        Times(said);
        Outcome(said);
        Ages(said);
    }

    private void Times(V1.LifeReported said)
    {
        var startIsRight = check.EventTime(said.StartTime, Row + "start_time", required: true);
        var endIsRight = check.EventTime(said.EndTime, Row + "end_time", required: true);
        if (startIsRight && endIsRight && said.EndTime < said.StartTime)
            check.Refuse(Row + "end_time", "must not be before start_time");
    }

    private void Outcome(V1.LifeReported said)
    {
        switch (said.Outcome)
        {
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

    private void Ages(V1.LifeReported said)
    {
        if (!check.RequiredHours(said.HasAgeAtEnd, said.AgeAtEnd, Row + "age_at_end"))
            return;
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
    }

    private static string Above(double age, double end) =>
        $"must not be above age_at_end; got {EventCheck.Number(age)} and {EventCheck.Number(end)}";
}
