namespace Reliability.DemoData.Scenario;

/// <summary>
/// Brindlemoor Health, an invented network: no real place, firm or product. All figures are made up and stated here; the
/// committed files follow from them and a seed.
/// </summary>
internal sealed record Network
{
    private const string Lamp = "phototherapy-lamp";
    private const string Blower = "ventilator-blower";
    private const string Drive = "infusion-drive";
    private const string OldDrive = "infusion-drive-classic";

    /// <summary>The families.</summary>
    public required IReadOnlyList<Family> Families { get; init; }

    /// <summary>The hospitals.</summary>
    public required IReadOnlyList<Hospital> Hospitals { get; init; }

    /// <summary>The workshops that refurbish. Both do equally well.</summary>
    public required IReadOnlyList<string> Refurbishers { get; init; }

    /// <summary>The first day on which hosts may enter service.</summary>
    public required DateOnly FirstDay { get; init; }

    /// <summary>The day of the last round: nothing later is recorded.</summary>
    public required DateOnly LastDay { get; init; }

    /// <summary>Planned removals come at this share of the rated hours, drawn at the life's start.</summary>
    public (double Least, double Most) PlannedShareOfRatedHours { get; init; } = (0.96, 1.0);

    /// <summary>The share of lives that is stopped early in working order, at an age drawn at the life's start.</summary>
    public double EarlyRemovalShare { get; init; } = 0.06;

    /// <summary>The share of run-hour readings that is mistyped: ten times too high.</summary>
    public double MistypedShare { get; init; } = 0.006;

    /// <summary>The share of host positions whose hour meter is changed once.</summary>
    public double MeterChangeShare { get; init; } = 0.1;

    /// <summary>The end of the last day, to be used as data cut-off and as the time to predict from.</summary>
    public DateTime CutoffTime => LastDay.AddDays(1).ToDateTime(TimeOnly.MinValue, DateTimeKind.Utc);

    /// <summary>The family without failures, and the one hospital that has it.</summary>
    public static (string ModelId, string Site) WithoutFailures => (OldDrive, "Dunmarrow Lakeside");

    /// <summary>The instant of a minute of the simulation, which counts from midnight UTC of the first day.</summary>
    public DateTime TimeOf(int minute) => FirstDay.ToDateTime(TimeOnly.MinValue, DateTimeKind.Utc).AddMinutes(minute);

    /// <summary>The invented network.</summary>
    public static Network Brindlemoor { get; } = new()
    {
        FirstDay = new DateOnly(2017, 1, 1),
        LastDay = new DateOnly(2026, 6, 30),
        Refurbishers = ["Second Turn Bench", "Vennick Works"],
        Families =
        [
            new Family
            {
                ModelId = Lamp,
                DisplayName = "Phototherapy lamp module",
                PartNumber = "BH-PL-20",
                Prefix = "lamp",
                HostModel = "newborn light canopy",
                RatedHours = 2_000,
                New = new TrueLife(3.0, 2_300),
                Refurbished = new TrueLife(2.6, 1_900),
                RefurbishShare = 0.75,
                Modes = [new("no light", 0.4, true), new("low output", 0.6, false, ByOutput: true)],
                RoundDays = 42,
                HoursPerDay = (5, 11),
                OutputUnit = "uW/cm2/nm",
                OutputThreshold = 20,
                OutputWhenNew = (31, 37),
                Costs = (410, 230, 60, 340),
                RefurbishedWarrantyHours = 500,
                CautionCodes =
                [
                    "ISOLATE_SUPPLY", "COOL_DOWN", "EYE_AND_HAND_PROTECTION", "INTERLOCK", "OUTPUT_CHECK",
                    "ELECTRICAL_SAFETY_TEST", "DISPOSAL",
                ],
            },
            new Family
            {
                ModelId = Blower,
                DisplayName = "Ventilator blower module",
                PartNumber = "BH-VB-200",
                Prefix = "blower",
                HostModel = "ward ventilator",
                RatedHours = 20_000,
                New = new TrueLife(2.2, 22_000),
                Refurbished = new TrueLife(2.2, 22_000),
                RefurbishShare = 0.85,
                Modes = [new("bearing seized", 0.7, true), new("no flow", 0.3, true)],
                HasOwnMeter = true,
                RoundDays = 91,
                HoursPerDay = (14, 22),
                Costs = (1_900, 1_050, 140, 1_600),
                RefurbishedWarrantyHours = 4_000,
                CautionCodes = ["ISOLATE_SUPPLY", "FLOW_CHECK", "ELECTRICAL_SAFETY_TEST", "DISPOSAL"],
            },
            new Family
            {
                ModelId = Drive,
                DisplayName = "Infusion-pump drive module",
                PartNumber = "BH-ID-80",
                Prefix = "drive",
                HostModel = "syringe pump",
                RatedHours = 8_000,
                New = new TrueLife(1.8, 8_800),
                Refurbished = new TrueLife(1.5, 7_000),
                RefurbishShare = 0.8,
                Modes = [new("drive stalled", 0.55, true), new("rate out of limits", 0.45, false)],
                RoundDays = 91,
                HoursPerDay = (6, 13),
                Costs = (620, 350, 45, 480),
                RefurbishedWarrantyHours = 1_500,
                CautionCodes = ["ISOLATE_SUPPLY", "RATE_CHECK", "ELECTRICAL_SAFETY_TEST", "DISPOSAL"],
            },
            new Family
            {
                ModelId = OldDrive,
                DisplayName = "Infusion-pump drive module, classic pattern",
                PartNumber = "BH-ID-70",
                Prefix = "classic",
                HostModel = "syringe pump, classic pattern",
                RatedHours = 8_000,
                New = new TrueLife(3.0, 200_000),
                Modes = [new("drive stalled", 1, true)],
                RoundDays = 91,
                HoursPerDay = (6, 13),
                Costs = (580, 0, 45, 480),
                CautionCodes = ["ISOLATE_SUPPLY", "RATE_CHECK", "ELECTRICAL_SAFETY_TEST", "DISPOSAL"],
            },
        ],
        Hospitals =
        [
            Hospital("Quennick General", "quennick", RecordForm.Events, new DateOnly(2019, 1, 1), 9, 16, 14),
            Hospital("Orrowby Infirmary", "orrowby", RecordForm.Events, new DateOnly(2020, 7, 1), 6, 14, 12),
            Hospital("Velsham Children's", "velsham", RecordForm.Events, new DateOnly(2018, 4, 1), 10, 10, 10),
            Hospital("Dunmarrow Lakeside", "dunmarrow", RecordForm.Sheet, new DateOnly(2018, 9, 1), 6, 22, 0, 18),
            Hospital("Pellowick Day Surgery", "pellowick", RecordForm.Sheet, new DateOnly(2019, 10, 1), 5, 14, 22),
        ],
    };

    private static Hospital Hospital(
        string name, string key, RecordForm form, DateOnly recordStart, int lamps, int blowers, int drives, int oldDrives = 0) =>
        new()
        {
            Name = name,
            Key = key,
            Form = form,
            RecordStart = recordStart,
            Positions = new Dictionary<string, int>
            {
                [Lamp] = lamps,
                [Blower] = blowers,
                [Drive] = drives,
                [OldDrive] = oldDrives,
            },
        };
}
