using System.Globalization;

namespace Reliability.Reference;

/// <summary>Collects what differs by more than its tolerance, so that a test names every miss and not only the first.</summary>
public sealed class Differences
{
    private readonly List<string> _misses = [];

    /// <summary>Comparisons made; a test must see that it is not 0.</summary>
    public int Compared { get; private set; }

    /// <summary>One line a miss.</summary>
    public IReadOnlyList<string> Misses => _misses;

    /// <summary>Notes a comparison.</summary>
    /// <param name="what">What was compared.</param>
    /// <param name="expected">Reference value.</param>
    /// <param name="actual">Ours.</param>
    /// <param name="difference">Their difference, already relative to what the README says.</param>
    /// <param name="tolerance">How much is allowed.</param>
    public void Note(string what, double? expected, double? actual, double difference, double tolerance)
    {
        Compared++;
        if (!(difference <= tolerance))
        {
            _misses.Add(string.Create(
                CultureInfo.InvariantCulture,
                $"{what}: expected {expected:R}, got {actual:R}, differs by {difference:G3}, allowed {tolerance:G3}"));
        }
    }

    /// <summary>Notes a comparison of relative difference.</summary>
    public void Relative(string what, double? expected, double? actual, double tolerance) =>
        Note(what, expected, actual, Tolerance.Relative(expected, actual), tolerance);

    /// <summary>All misses in one text.</summary>
    public override string ToString() => string.Join(Environment.NewLine, _misses);
}
