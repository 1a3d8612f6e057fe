using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>
/// One end that lives may come to, failed where the two places are one, stopped at the lower where the upper is infinite; or an entry,
/// which takes off what a stop there says. It carries the lives' scores at the fit, summed by their chances.
/// </summary>
/// <param name="Lower">Where the life was last known to work.</param>
/// <param name="Upper">Where it was known to have failed.</param>
/// <param name="LogAtFit">What the end says at the fit.</param>
/// <param name="ByLogU">Sum of the scores at the fit of all that these lives say, by log u.</param>
/// <param name="ByV">Likewise by v.</param>
internal readonly record struct Ending(double Lower, double Upper, double LogAtFit, double ByLogU, double ByV)
{
    /// <summary>A failure at x.</summary>
    public static Ending Failed(double x) => new(x, x, 0, 0, 0);

    /// <summary>A stop at x.</summary>
    public static Ending Stopped(double x) => new(x, double.PositiveInfinity, 0, 0, 0);

    /// <summary>A failure between two places.</summary>
    public static Ending Between((double Lower, double Upper) cell) => new(cell.Lower, cell.Upper, 0, 0, 0);

    /// <summary>What the end says at some parameters.</summary>
    public LifeTerm Term(IStandardDistribution distribution, (double U, double V) at) =>
        Lower == Upper ? LifeTerm.Failed(distribution, Lower, at)
        : double.IsPositiveInfinity(Upper) ? LifeTerm.Stopped(distribution, Lower, at)
        : LifeTerm.Between(distribution, Lower, Upper, at);

    /// <summary>The same end with the lives that come to it.</summary>
    public Ending With(in LifeTerm atFit, LivesAt lives) => this with
    {
        LogAtFit = atFit.Log,
        ByLogU = lives.Count * atFit.ByLogU + lives.ByLogU,
        ByV = lives.Count * atFit.ByV + lives.ByV,
    };
}
