using Reliability.Engine.Abstractions;
using Reliability.Engine.LocationScale;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Resampling;

/// <summary>A member of any family.</summary>
internal readonly struct FamilyLife(ILifeFamily family, double[] parameters, LogTimeAxis axis) : ISimulatedLife
{
    public double PositionAt(double hazard)
    {
        Span<double> hours = stackalloc double[1];
        family.Quantile(parameters, [Math.Clamp(-NearZero.Expm1(-hazard), double.Epsilon, 1 - 1e-16)], hours);
        return axis.ToX(Math.Max(0, hours[0]));
    }

    public double HazardAt(double x)
    {
        Span<double> log = stackalloc double[1];
        family.LogSurvival(parameters, [axis.ReferenceHours * Math.Exp(x)], log);
        return -log[0];
    }
}
