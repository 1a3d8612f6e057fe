using Reliability.History.Catalogue;
using Reliability.History.Events;
using Reliability.History.Lives;

namespace Reliability.Analysis.Tests;

/// <summary>Invented lives and modules of Brindlemoor Health, as history would derive them.</summary>
internal static class Invented
{
    public const string Lamp = "phototherapy-lamp";
    public const string Bench = "Second Turn Bench";
    public const string Works = "Vennick Works";

    public static readonly DateTimeOffset Start = new(2024, 1, 1, 0, 0, 0, TimeSpan.Zero);
    public static readonly DateTimeOffset Now = new(2025, 1, 1, 0, 0, 0, TimeSpan.Zero);

    public static Condition Refurbished(string by = Bench) => new() { RefurbishmentCount = 1, Refurbisher = by };

    public static Life Life(LifeOutcome outcome, Condition? condition = null, string? module = null, double entry = 0) => new()
    {
        ModuleId = module ?? $"lamp-{Guid.CreateVersion7():N}",
        Number = 1,
        Origin = LifeOrigin.Events,
        ModelId = Lamp,
        Condition = condition ?? Condition.New,
        Site = "Quennick General",
        HostModel = "canopy-2",
        Lot = "L7",
        StartTime = Start,
        EndTime = Now.AddDays(-10),
        InService = outcome.Kind == OutcomeKind.Survived,
        EntryHours = entry,
        Outcome = outcome,
    };

    public static IEnumerable<Life> Failures(Condition condition, params double[] hours) =>
        hours.Select(h => Life(LifeOutcome.Failed(h), condition));

    public static IEnumerable<Life> Survivors(Condition condition, params double[] hours) =>
        hours.Select(h => Life(LifeOutcome.Survived(h), condition));

    public static DerivedModule InService(
        double age, Condition? condition = null, DateTimeOffset? lastRead = null, double? upperAge = null) => new()
        {
            ModuleId = "lamp-0001",
            State = ModuleState.InService,
            ModelId = Lamp,
            Condition = condition ?? Condition.New,
            Site = "Orrowby Infirmary",
            Age = new HoursRange(age, upperAge ?? age),
            LastReadingTime = lastRead ?? Now,
        };

    public static ModuleCatalogue Models(double? ratedHours = null, params Caution[] cautions) => new(
    [
        new ModuleModel
        {
            Id = Lamp,
            Versions =
            [
                new ModuleModelVersion
                {
                    RatedLives = ratedHours is null ? [] : [new RatedLife { RatedHours = ratedHours }],
                    Cautions = cautions,
                },
            ],
        },
    ]);

    /// <summary>Readings every so many days at a rate, from the start on.</summary>
    public static IReadOnlyList<UsagePoint> Readings(int count, double everyDays, double hoursPerDay, int stretch = 1) =>
    [
        .. Enumerable.Range(0, count).Select(i => new UsagePoint(
            Start.AddDays(i * everyDays), Start.AddDays(i * everyDays), i * everyDays * hoursPerDay, stretch)),
    ];
}
