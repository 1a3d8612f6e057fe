namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>Lives that come to one end, with the sums over them of the scores at the fit of what their entries take off.</summary>
/// <param name="Count">How many.</param>
/// <param name="ByLogU">Sum of their entries' scores by log u.</param>
/// <param name="ByV">Likewise by v.</param>
internal readonly record struct LivesAt(double Count, double ByLogU, double ByV)
{
    public static LivesAt operator +(LivesAt a, LivesAt b) => new(a.Count + b.Count, a.ByLogU + b.ByLogU, a.ByV + b.ByV);

    public static LivesAt operator *(LivesAt lives, double factor) =>
        new(lives.Count * factor, lives.ByLogU * factor, lives.ByV * factor);
}
