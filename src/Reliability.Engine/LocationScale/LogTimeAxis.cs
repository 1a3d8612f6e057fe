using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.LocationScale;

/// <summary>The log time axis x = log(hours / reference) of one sample.</summary>
/// <param name="referenceHours">Hours at x = 0.</param>
internal sealed class LogTimeAxis(double referenceHours)
{
    public double ReferenceHours { get; } = referenceHours;

    public double LogReference { get; } = Math.Log(referenceHours);

    /// <summary>Position of an age; negative infinity at 0 h.</summary>
    public double ToX(double hours) => LogRatio(hours, ReferenceHours);

    /// <summary>log(hours / reference), exact where the two nearly tie.</summary>
    public static double LogRatio(double hours, double reference) =>
        hours > reference / 2 && hours < reference * 2
            ? NearZero.Log1p((hours - reference) / reference)
            : Math.Log(hours / reference);
}
