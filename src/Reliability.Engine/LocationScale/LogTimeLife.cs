namespace Reliability.Engine.LocationScale;

/// <summary>One member of a log-location-scale family: z = u x + v on a sample's log time axis.</summary>
internal readonly record struct LogTimeLife(IStandardDistribution Distribution, LogTimeAxis Axis, double U, double V)
{
    public double Sigma => 1 / U;

    /// <summary>Location of log hours, in log hours.</summary>
    public double Location => Axis.LogReference - V / U;

    public double ZAt(double x) => U * x + V;
}
