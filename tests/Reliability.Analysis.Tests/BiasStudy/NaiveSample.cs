using Reliability.Engine.Abstractions;

namespace Reliability.Analysis.Tests.BiasStudy;

/// <summary>Makes a sample of simulated records the simple way, with some rules of history switched off.</summary>
internal static class NaiveSample
{
    public static LifeSample Of(IEnumerable<SimulatedModule> modules, NaiveReading naive)
    {
        var rows = new LifeSampleBuilder();
        foreach (var module in modules)
        {
            if (module.OpenedByFailure && !naive.HasFlag(NaiveReading.OpenedByFailure))
                continue;
            Add(rows, module, naive);
        }

        return rows.Build();
    }

    private static void Add(LifeSampleBuilder rows, SimulatedModule module, NaiveReading naive)
    {
        double Age(SimulatedVisit visit) =>
            (naive.HasFlag(NaiveReading.ReadingsAsTyped) ? visit.Typed : visit.Shown) - module.MeterAtInstall;
        var opened = module.OpenedByFailure ? 0 : module.AgeAtOpening;
        var entry = naive.HasFlag(NaiveReading.WatchedFromTheStart) ? 0 : opened;
        var lastWorking = Math.Max(opened, module.Visits.Where(v => v.Working).Select(Age).LastOrDefault(opened));
        if (module.Visits.FirstOrDefault(v => !v.Working) is { } found)
        {
            var age = Age(found);
            if (naive.HasFlag(NaiveReading.FoundIsFailed) || age <= lastWorking)
            {
                if (age > entry)
                    rows.AddFailed(age, entry);
            }
            else
            {
                rows.AddBetween(lastWorking, age, entry);
            }

            return;
        }

        var survived = naive.HasFlag(NaiveReading.SurvivedToToday)
            ? (SimulatedHospital.StudyDays - module.InstallDay) * module.HoursPerDay
            : lastWorking;
        if (survived > entry)
            rows.AddSurvived(survived, entry);
    }
}
