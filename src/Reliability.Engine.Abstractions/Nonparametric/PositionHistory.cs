using System.Globalization;

namespace Reliability.Engine.Abstractions;

/// <summary>
/// The replacements seen at one position, such as a slot of a host device, in run-hours of the position: its clock goes on when a
/// module is replaced.
/// </summary>
public sealed class PositionHistory
{
    private readonly double[] _replacements;

    /// <summary>Checks and sorts a history.</summary>
    /// <param name="startHours">Hours of the position when watching began, 0 or more.</param>
    /// <param name="endHours">Hours of the position when watching ended, above <paramref name="startHours"/>.</param>
    /// <param name="replacementHours">Hours of the position at each replacement, above the start and up to the end; equal ones are so many.</param>
    /// <exception cref="ArgumentException">A value breaks its rule; the parameter is named.</exception>
    public PositionHistory(double startHours, double endHours, IEnumerable<double> replacementHours)
    {
        ArgumentNullException.ThrowIfNull(replacementHours);
        if (!double.IsFinite(startHours) || startHours < 0)
            throw new ArgumentException($"Hours must be a finite number, 0 or more; got {Text(startHours)}.", nameof(startHours));
        if (!double.IsFinite(endHours) || !(endHours > startHours))
            throw new ArgumentException($"The end must be a finite number after the start; got {Text(endHours)}.", nameof(endHours));
        _replacements = [.. replacementHours];
        Array.Sort(_replacements);
        foreach (var hours in _replacements)
        {
            if (!(hours > startHours && hours <= endHours))
            {
                throw new ArgumentException(
                    $"A replacement must lie after the start and not after the end; got {Text(hours)}.", nameof(replacementHours));
            }
        }

        StartHours = startHours;
        EndHours = endHours;
    }

    /// <summary>Hours of the position when watching began.</summary>
    public double StartHours { get; }

    /// <summary>Hours of the position when watching ended.</summary>
    public double EndHours { get; }

    /// <summary>Hours of the position at each replacement, increasing.</summary>
    public ReadOnlySpan<double> ReplacementHours => _replacements;

    private static string Text(double value) => value.ToString("R", CultureInfo.InvariantCulture);
}
