using System.Globalization;
using Reliability.Engine.Abstractions;

namespace Reliability.Studies.BoundsCoverage;

/// <summary>How often one kind of bounds held one quantity in a cell.</summary>
/// <param name="Method">The kind of bounds.</param>
/// <param name="Quantity">The quantity.</param>
internal sealed record Tally(string Method, string Quantity)
{
    /// <summary>Samples with an estimate.</summary>
    public int Of { get; set; }

    /// <summary>The truth lay below the lower bound.</summary>
    public int Below { get; set; }

    /// <summary>The truth lay above the upper bound.</summary>
    public int Above { get; set; }

    /// <summary>A lower bound was absent, which misses nothing.</summary>
    public int NoLower { get; set; }

    /// <summary>An upper bound was absent.</summary>
    public int NoUpper { get; set; }

    /// <summary>Bounds that were not r* but something instead of it.</summary>
    public int Instead { get; set; }

    /// <summary>Answers that carried a warning that calibrated bounds may not hold as said; null in results older than the warning.</summary>
    public int? Warned { get; set; }

    /// <summary>Truth below the lower bound of an answer without the warning; null in results older than this column.</summary>
    public int? QuietBelow { get; set; }

    /// <summary>Truth above the upper bound of an answer without the warning.</summary>
    public int? QuietAbove { get; set; }

    /// <summary>Answers of which a bound was simulated, because r* gave none.</summary>
    public int? Simulated { get; set; }

    public double Covered => 100.0 * (Of - Below - Above) / Of;

    public double BelowShare => 100.0 * Below / Of;

    public double AboveShare => 100.0 * Above / Of;

    public string Line => string.Join('\t', Method, Quantity, Of, Below, Above, NoLower, NoUpper, Instead, Warned, QuietBelow, QuietAbove, Simulated).TrimEnd('\t');

    /// <summary>Takes in the bounds of one sample.</summary>
    public void Count(BoundedEstimate estimate, double truth)
    {
        Of++;
        Below += truth < estimate.Lower ? 1 : 0;
        Above += truth > estimate.Upper ? 1 : 0;
        NoLower += estimate.Lower is null ? 1 : 0;
        NoUpper += estimate.Upper is null ? 1 : 0;
    }

    public static Tally Read(string line)
    {
        var parts = line.Split('\t');
        int Number(int at) => int.Parse(parts[at], CultureInfo.InvariantCulture);
        int? Perhaps(int at) => parts.Length > at && parts[at].Length > 0 ? Number(at) : null;
        return new(parts[0], parts[1])
        {
            Of = Number(2),
            Below = Number(3),
            Above = Number(4),
            NoLower = Number(5),
            NoUpper = Number(6),
            Instead = Number(7),
            Warned = Perhaps(8),
            QuietBelow = Perhaps(9),
            QuietAbove = Perhaps(10),
            Simulated = Perhaps(11),
        };
    }
}
