using System.Text.Json;

namespace Reliability.Reference;

/// <summary>One reference case: observations and the values recomputed for them.</summary>
public sealed class ReferenceCase
{
    private ReferenceCase(string name, string source, IReadOnlyList<ReferenceObservation> observations, JsonElement results)
    {
        Name = name;
        Source = source;
        Observations = observations;
        Results = results;
    }

    public string Name { get; }

    /// <summary>Where the observations were published.</summary>
    public string Source { get; }

    public IReadOnlyList<ReferenceObservation> Observations { get; }

    public JsonElement Results { get; }

    /// <summary>Names of all cases, in order.</summary>
    public static IReadOnlyList<string> Names { get; } =
        [.. Directory.GetFiles(Folder, "*.json").Select(f => Path.GetFileNameWithoutExtension(f)).Order(StringComparer.Ordinal)];

    private static string Folder => Path.Combine(AppContext.BaseDirectory, "Reference");

    public static ReferenceCase Load(string name)
    {
        using var document = JsonDocument.Parse(File.ReadAllBytes(Path.Combine(Folder, name + ".json")));
        var root = document.RootElement;
        var observations = root.TryGetProperty("observations_generator", out var generator)
            ? GeneratedObservations.Of(name, generator.GetProperty("n").GetInt32())
            : root.GetProperty("observations").Deserialize<List<ReferenceObservation>>()!;
        return new ReferenceCase(
            name, root.GetProperty("source").GetString()!, observations, root.GetProperty("results").Clone());
    }

    /// <summary>Fits of the whole sample by life model id.</summary>
    public IReadOnlyList<ReferenceFit> Fits =>
        Results.TryGetProperty("fits", out var fits)
            ? [.. fits.EnumerateObject().Select(f => new ReferenceFit(f.Name, f.Value))]
            : [];

    /// <summary>Fits with the Weibull shape held.</summary>
    public IReadOnlyList<ReferenceFixedShape> FixedShapes =>
        Results.TryGetProperty("fixed_shape", out var list)
            ? [.. list.EnumerateArray().Select(e => new ReferenceFixedShape(e))]
            : [];

    /// <summary>The Kaplan-Meier and Nelson-Aalen estimates; null for samples with intervals.</summary>
    public ReferenceSurvival? Survival =>
        Results.TryGetProperty("kaplan_meier", out var kaplanMeier)
            ? new ReferenceSurvival(kaplanMeier, Results.GetProperty("nelson_aalen"))
            : null;

    /// <summary>Turnbull's estimate; null for samples without intervals.</summary>
    public ReferenceTurnbull? Turnbull =>
        Results.TryGetProperty("turnbull", out var turnbull) ? new ReferenceTurnbull(turnbull) : null;

    /// <summary>Cumulative incidences by failure mode; null where there are no modes.</summary>
    public ReferenceIncidences? Incidences =>
        Results.TryGetProperty("competing", out var competing)
            ? new ReferenceIncidences(competing.GetProperty("aalen_johansen"))
            : null;

    /// <summary>The mean cumulative function of recurrent replacements; null where there are none.</summary>
    public ReferenceMeanCumulative? MeanCumulative =>
        Results.TryGetProperty("mcf", out var element) ? new ReferenceMeanCumulative(element) : null;

    /// <summary>
    /// Recurrent replacements by position: its failures are replacements, and its survivor is the end of watching.
    /// </summary>
    public IReadOnlyList<(double End, IReadOnlyList<double> Replacements)> Positions =>
    [
        .. Observations.Where(o => o.Kind == "right").Select(end => (
            end.Time, (IReadOnlyList<double>)[.. Observations.Where(o => o.Kind == "failure" && o.Label == end.Label).Select(o => o.Time)])),
    ];

    /// <summary>Fits by failure mode; null where the case has none.</summary>
    public ReferenceCompeting? Competing =>
        Results.TryGetProperty("competing", out var competing) && competing.TryGetProperty("series_system", out _)
            ? new ReferenceCompeting(competing)
            : null;

    /// <summary>The fit of a Weibull with location; null where the case has none.</summary>
    public ReferenceWeibull3? Weibull3 =>
        Results.TryGetProperty("weibull3", out var weibull3) ? new ReferenceWeibull3(weibull3) : null;

    /// <summary>The comparison of groups A and B; null when there are none.</summary>
    public ReferenceComparison? TwoSample =>
        Results.TryGetProperty("two_sample", out var element) ? new ReferenceComparison(element) : null;

    /// <summary>Why a Weibull fit must be refused; null when it must not.</summary>
    public string? WeibullNotEstimable =>
        Results.TryGetProperty("expected_outcome", out var outcome) ? outcome.GetProperty("why").GetString() : null;

    /// <summary>The observations of one group.</summary>
    public IReadOnlyList<ReferenceObservation> Group(string group) => [.. Observations.Where(o => o.Group == group)];
}
