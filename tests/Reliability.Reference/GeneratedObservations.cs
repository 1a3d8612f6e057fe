namespace Reliability.Reference;

/// <summary>The samples that a case describes by a formula instead of by rows.</summary>
internal static class GeneratedObservations
{
    public static IReadOnlyList<ReferenceObservation> Of(string name, int n) => name switch
    {
        "edge_100k_rows_formula" => [.. Enumerable.Range(1, n).Select(i => RightCensored(i, n))],
        "edge_20k_rows_late_entry_formula" =>
            [.. Enumerable.Range(1, n).Select(i => LateEntry(i, n)).OfType<ReferenceObservation>()],
        _ => throw new ArgumentException($"No generator is written for the case {name}.", nameof(name)),
    };

    private static ReferenceObservation RightCensored(int i, int n)
    {
        var t = Life(i, n);
        var c = 6000 * Fraction(i * 0.6180339887498949);
        return new ReferenceObservation { Time = Math.Min(t, c), Kind = t <= c ? "failure" : "right" };
    }

    private static ReferenceObservation? LateEntry(int i, int n)
    {
        var t = Life(i, n);
        var entry = 2500 * Fraction(i * 0.7548776662466927);
        if (t <= entry)
            return null;
        var c = entry + 3000 * Fraction(i * 0.5698402909980532);
        return new ReferenceObservation { Time = Math.Min(t, c), Kind = t <= c ? "failure" : "right", Entry = entry };
    }

    private static double Life(int i, int n) => 4000 * Math.Pow(-Math.Log(1 - (i - 0.5) / n), 1 / 1.9);

    private static double Fraction(double x) => x - Math.Floor(x);
}
