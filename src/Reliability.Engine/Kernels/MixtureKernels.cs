using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Kernels;

/// <summary>The kernels of mixtures at the width of this machine.</summary>
internal static class MixtureKernels
{
    /// <inheritdoc cref="MixtureKernels{TLanes}.LogSurvival"/>
    public static void LogSurvival<T>(ReadOnlySpan<double> u, ReadOnlySpan<double> v, double x, Span<double> log)
        where T : struct, IStandardDistribution
    {
        if (Width.Is512)
            MixtureKernels<Lanes512>.LogSurvival<T>(u, v, x, log);
        else if (Width.Is256)
            MixtureKernels<Lanes256>.LogSurvival<T>(u, v, x, log);
        else
            MixtureKernels<Lanes128>.LogSurvival<T>(u, v, x, log);
    }

    /// <inheritdoc cref="MixtureKernels{TLanes}.Chances"/>
    public static (double Survive, double Fail) Chances(ReadOnlySpan<double> weights, ReadOnlySpan<double> before, ReadOnlySpan<double> after) =>
        Width.Is512 ? MixtureKernels<Lanes512>.Chances(weights, before, after)
        : Width.Is256 ? MixtureKernels<Lanes256>.Chances(weights, before, after)
        : MixtureKernels<Lanes128>.Chances(weights, before, after);
}
