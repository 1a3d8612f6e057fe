namespace Reliability.Engine.Abstractions;

/// <summary>
/// The axes of a probability plot: how hours and failed fraction map to axis positions on which the model's
/// distribution function is a straight line, where such axes exist (Meeker and Escobar 1998, ch. 6).
/// Both maps are strictly increasing.
/// </summary>
public interface IPlotScale
{
    /// <summary>Name of the horizontal scale, lower case: <c>log</c> or <c>linear</c>.</summary>
    string HoursScale { get; }

    /// <summary>Name of the vertical scale, lower case: <c>weibull</c>, <c>normal</c>, <c>exponential</c> or a plug-in's own.</summary>
    string FractionScale { get; }

    /// <summary>Position of an age on the horizontal axis.</summary>
    /// <param name="hours">Hours, above 0.</param>
    /// <returns>Axis position.</returns>
    double HoursToAxis(double hours);

    /// <summary>Age at a position of the horizontal axis.</summary>
    /// <param name="position">Axis position.</param>
    /// <returns>Hours.</returns>
    double AxisToHours(double position);

    /// <summary>Position of a failed fraction on the vertical axis.</summary>
    /// <param name="fraction">Failed fraction, above 0 and below 1.</param>
    /// <returns>Axis position.</returns>
    double FractionToAxis(double fraction);

    /// <summary>Failed fraction at a position of the vertical axis.</summary>
    /// <param name="position">Axis position.</param>
    /// <returns>Failed fraction between 0 and 1.</returns>
    double AxisToFraction(double position);

    /// <summary>Round ages to mark between two ages.</summary>
    /// <param name="fromHours">Smaller age, above 0.</param>
    /// <param name="toHours">Greater age.</param>
    /// <returns>Ticks in increasing order.</returns>
    IReadOnlyList<PlotTick> HoursTicks(double fromHours, double toHours);

    /// <summary>Round failed fractions to mark between two fractions.</summary>
    /// <param name="fromFraction">Smaller fraction, above 0.</param>
    /// <param name="toFraction">Greater fraction, below 1.</param>
    /// <returns>Ticks in increasing order.</returns>
    IReadOnlyList<PlotTick> FractionTicks(double fromFraction, double toFraction);
}
