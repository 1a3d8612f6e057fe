using System.Globalization;
using System.Text.Encodings.Web;
using System.Text.Json;
using Reliability.DemoData.Scenario;
using Reliability.DemoData.Simulation;

namespace Reliability.DemoData.Records;

/// <summary>The stated truth as a file: what the lives were drawn from, and what follows from it.</summary>
internal static class TruthFile
{
    private static readonly JsonSerializerOptions Form = new()
    {
        WriteIndented = true,
        NewLine = "\n",
        PropertyNamingPolicy = JsonNamingPolicy.CamelCase,
        DefaultIgnoreCondition = System.Text.Json.Serialization.JsonIgnoreCondition.WhenWritingNull,
        Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
    };

    /// <summary>The truth of a network simulated with a seed, hours rounded to a tenth and chances to six places.</summary>
    public static string Write(Network network, ulong seed, IReadOnlyList<ServiceLife> lives) => JsonSerializer.Serialize(
        new
        {
            About = DemoFiles.Heading,
            Seed = seed,
            Random = "xoshiro256**, seeded by SplitMix64",
            DataCutoffTime = network.CutoffTime.ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", CultureInfo.InvariantCulture),
            PlannedShareOfRatedHours = new[] { network.PlannedShareOfRatedHours.Least, network.PlannedShareOfRatedHours.Most },
            network.EarlyRemovalShare,
            network.MistypedShare,
            network.MeterChangeShare,
            network.Refurbishers,
            Hospitals = network.Hospitals.Select(hospital => new
            {
                hospital.Name,
                Records = hospital.Form.ToString().ToLowerInvariant(),
                RecordStart = hospital.RecordStart.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture),
                hospital.Positions,
            }),
            Families = network.Families.Select(family => new
            {
                ModuleModel = family.ModelId,
                family.DisplayName,
                family.RatedHours,
                New = Figures(family.New, family.RatedHours),
                Refurbished = family.Refurbished is { } truth ? Figures(truth, family.RatedHours) : null,
                RefurbishedOverNew = family.Refurbished is { } refurbished ? Ratios(family.New, refurbished) : null,
                RecordedLives = lives.Count(life => life.IsRecorded && life.Module.Family == family),
                RecordedFailures = lives.Count(life => life.IsRecorded && life.Module.Family == family
                    && life.Outcome is LifeEnd.FailedAtOnce or LifeEnd.FoundFailed),
            }),
        },
        Form) + "\n";

    private static object Figures(TrueLife truth, double ratedHours) => new
    {
        truth.Shape,
        truth.Scale,
        MeanLife = Math.Round(truth.MeanHours, 1),
        B10Life = Math.Round(truth.PercentileHours(0.10), 1),
        MedianLife = Math.Round(truth.PercentileHours(0.50), 1),
        ReliabilityAtRatedHours = Math.Round(truth.Reliability(ratedHours), 6),
    };

    private static object Ratios(TrueLife first, TrueLife second) => new
    {
        MeanRatio = Math.Round(second.MeanHours / first.MeanHours, 4),
        B10Ratio = Math.Round(second.PercentileHours(0.10) / first.PercentileHours(0.10), 4),
        MedianRatio = Math.Round(second.PercentileHours(0.50) / first.PercentileHours(0.50), 4),
    };
}
