using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Tests.Resampling;

/// <summary>Small samples that several tests look at: A to E as in <see cref="Bounds.CalibratedGoldenTests"/>, and others.</summary>
internal static class Sets
{
    public static LifeSample Of(string set) => set switch
    {
        "A" => Lives([54, 187, 216, 240, 244, 335, 361, 373, 375, 386], Enumerable.Repeat(500.0, 10), 500),
        "B" => Lives([32, 55, 61, 90, 118], []),
        "D" => Lives([12, 25, 31, 48, 60], Enumerable.Repeat(60.0, 5)),
        "E" => Lives([80, 150, 220, 400, 520, 610], [100, 260, 330, 450, 480, 700, 700, 700]),
        "withdrawn" => Lives([12, 25, 31, 48, 60], [25, 25, 48, 60, 60]),
        "late" => Late(),
        _ => Inspected(),
    };

    private static LifeSample Lives(IEnumerable<double> failed, IEnumerable<double> survived, double? planned = null)
    {
        var builder = new LifeSampleBuilder();
        foreach (var hours in failed)
            builder.AddFailed(hours, plannedEndHours: planned);
        foreach (var hours in survived)
            builder.AddSurvived(hours);
        return builder.Build();
    }

    private static LifeSample Late()
    {
        var builder = new LifeSampleBuilder();
        foreach (var (hours, entry) in new[] { (80, 0), (150, 40), (220, 0), (400, 150), (520, 0), (610, 200), (340, 90) })
            builder.AddFailed(hours, entry);
        foreach (var (hours, entry) in new[] { (260, 40), (330, 0), (450, 150), (480, 300), (700, 0), (700, 90), (700, 200) })
            builder.AddSurvived(hours, entry);
        return builder.Build();
    }

    private static LifeSample Inspected()
    {
        var builder = new LifeSampleBuilder();
        foreach (var (lower, count) in new[] { (0, 2), (100, 3), (200, 4), (300, 2), (400, 1) })
            builder.AddBetween(lower, lower + 100, 0, count);
        return builder.AddSurvived(500, 0, 6).Build();
    }
}
