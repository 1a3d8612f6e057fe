using System.Runtime.CompilerServices;
using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Kernels;

/// <summary>What one age adds to the log-likelihood, with its derivatives by z, as a type: the loop over rows is compiled for each.</summary>
internal interface IRowTerm
{
    /// <summary>Of several ages at once.</summary>
    static abstract void Of<T, TLanes>(TLanes z, TLanes x, out TLanes value, out TLanes slope, out TLanes curvature)
        where T : struct, IStandardDistribution
        where TLanes : struct, ILanes<TLanes>;

    /// <summary>Of one age.</summary>
    static abstract double Of<T>(double z, double x, out double slope, out double curvature)
        where T : struct, IStandardDistribution;
}

/// <summary>A failure at a known age: log f of z, less x.</summary>
internal readonly struct FailedTerm : IRowTerm
{
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void Of<T, TLanes>(TLanes z, TLanes x, out TLanes value, out TLanes slope, out TLanes curvature)
        where T : struct, IStandardDistribution
        where TLanes : struct, ILanes<TLanes>
    {
        default(T).LogDensity(z, out value, out slope, out curvature);
        value -= x;
    }

    public static double Of<T>(double z, double x, out double slope, out double curvature)
        where T : struct, IStandardDistribution => default(T).LogDensity(z, out slope, out curvature) - x;
}

/// <summary>A life that lasted beyond an age: log S of z.</summary>
internal readonly struct SurvivedTerm : IRowTerm
{
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void Of<T, TLanes>(TLanes z, TLanes x, out TLanes value, out TLanes slope, out TLanes curvature)
        where T : struct, IStandardDistribution
        where TLanes : struct, ILanes<TLanes> => default(T).LogSurvival(z, out value, out slope, out curvature);

    public static double Of<T>(double z, double x, out double slope, out double curvature)
        where T : struct, IStandardDistribution => default(T).LogSurvival(z, out slope, out curvature);
}
