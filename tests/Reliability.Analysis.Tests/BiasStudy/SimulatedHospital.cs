using System.Globalization;

namespace Reliability.Analysis.Tests.BiasStudy;

/// <summary>
/// Draws the records of a hospital from the known truth, with everything that goes wrong with records: meters of modules at
/// work are read every two to five months; failures are found at the next visit, while the host's meter runs on; for modules
/// already at work when record-keeping starts the record opens at the age they have by then (those that had failed have none);
/// some modules get a record only because they failed; three readings in a hundred are mistyped.
/// </summary>
internal static class SimulatedHospital
{
    public const double StudyDays = 900;
    private const int Modules = 110;
    private const double FewestDaysBetweenVisits = 60, MostDaysBetweenVisits = 150;
    private const double ShareMistyped = 0.03;
    private const double ShareOpenedByFailure = 0.12;

    /// <param name="seed">Seed: the same gives the same hospital.</param>
    /// <param name="failuresReportedAtOnce">Share of failures that the ward reports on the day, at the age of failure, instead of
    /// their being found at the next visit.</param>
    /// <param name="statesMoment">Whether such a report says that it tells of the moment of failure.</param>
    public static List<SimulatedModule> Draw(int seed, double failuresReportedAtOnce = 0, bool statesMoment = true)
    {
        var random = Seeded.Random(seed);
        return [.. Enumerable.Range(0, Modules).Select(i => Module($"lamp-{seed}-{i}", random, failuresReportedAtOnce, statesMoment)).OfType<SimulatedModule>()];
    }

    private static SimulatedModule? Module(string id, Random random, double failuresReportedAtOnce, bool statesMoment)
    {
        var installDay = Between(random, -500, 700);
        var hoursPerDay = Between(random, 5, 13);
        var meterAtInstall = Math.Round(Between(random, 0, 8000), 1);
        var failureDay = installDay + (KnownTruth.Draw(random) / hoursPerDay);
        var openedByFailure = random.NextDouble() < ShareOpenedByFailure;
        var reportedAtOnce = random.NextDouble() < failuresReportedAtOnce;
        var openedDay = installDay > 0 ? installDay : Between(random, 0, 60);
        var visits = new List<SimulatedVisit>();
        void Visit(double day)
        {
            var shown = Math.Round(meterAtInstall + ((day - installDay) * hoursPerDay), 1);
            visits.Add(new(day, shown, random.NextDouble() < ShareMistyped ? Mistyped(shown, random) : shown, day < failureDay, statesMoment && day == failureDay));
        }

        for (var day = openedDay + Between(random, 10, MostDaysBetweenVisits); day < StudyDays; day += Between(random, FewestDaysBetweenVisits, MostDaysBetweenVisits))
        {
            if (reportedAtOnce && day > failureDay)
            {
                if (failureDay > openedDay)
                    Visit(failureDay);
                break;
            }

            Visit(day);
            if (day >= failureDay)
                break;
        }

        if (reportedAtOnce && failureDay > openedDay && failureDay < StudyDays && (visits.Count == 0 || visits[^1].Working))
            Visit(failureDay);
        if (openedByFailure)
        {
            // No record at all unless it failed while records were kept; then one that opens on the day it was found.
            return failureDay > 0 && visits.Count > 0 && !visits[^1].Working
                ? new(id, installDay, visits[^1].Day, hoursPerDay, meterAtInstall, [visits[^1]], true)
                : null;
        }

        return failureDay <= openedDay ? null : new(id, installDay, openedDay, hoursPerDay, meterAtInstall, visits, false);
    }

    private static double Between(Random random, double from, double to) => from + ((to - from) * random.NextDouble());

    /// <summary>A digit too many, or two neighbours swapped.</summary>
    private static double Mistyped(double shown, Random random)
    {
        var digits = shown.ToString("0", CultureInfo.InvariantCulture);
        var at = random.Next(digits.Length);
        var typed = random.NextDouble() < 0.5 || digits.Length < 2
            ? digits.Insert(at, $"{random.Next(1, 10)}")
            : Swapped(digits, Math.Min(at, digits.Length - 2));
        return double.Parse(typed, CultureInfo.InvariantCulture);
    }

    private static string Swapped(string digits, int at) => $"{digits[..at]}{digits[at + 1]}{digits[at]}{digits[(at + 2)..]}";
}
