using Reliability.Engine.Bounds;
using Reliability.Engine.Quantities;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Comparison;

/// <summary>
/// Likelihood-ratio bounds of the log ratio of one quantity between two independent cohorts, each with its own
/// parameters. The joint likelihood may fall by drop in all; the extreme ratio spends it where it moves the ratio most
/// (profile likelihood, Meeker and Escobar 1998, 8.2, of a function of both cohorts' parameters).
/// </summary>
internal sealed class RatioBounds(LikelihoodRegion numerator, LikelihoodRegion denominator, double level)
{
    private const double Window = 0.4, NearEnd = 1e-3, Tolerance = 1e-6;
    private const int MostMoves = 8;
    private readonly double _drop = ReferenceDistributions.ChiSquareQuantile(1, level) / 2;

    /// <summary>Bounds of the log ratio; null where the likelihood never falls far enough.</summary>
    /// <param name="quantity">A quantity on the log scale.</param>
    /// <param name="shareOfNumerator">Numerator's share of the variance of the log ratio, where the search starts.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public (double? Lower, double? Upper) Of(
        LifeQuantity quantity, double shareOfNumerator, CancellationToken cancellationToken) =>
        (Extreme(quantity, -1, shareOfNumerator, cancellationToken), Extreme(quantity, 1, shareOfNumerator, cancellationToken));

    private double? Extreme(LifeQuantity quantity, int sign, double share, CancellationToken cancellationToken)
    {
        // share = sin^2(angle) keeps both drops positive; the gain has one peak in the angle.
        double? Gain(double angle)
        {
            var sine = Math.Sin(angle);
            var spent = Math.Clamp(sine * sine, 1e-12, 1 - 1e-12);
            var up = numerator.Extreme(quantity, sign, _drop * spent, null, cancellationToken);
            var down = denominator.Extreme(quantity, -sign, _drop * (1 - spent), null, cancellationToken);
            return up is { } a && down is { } b ? sign * (a - b) : null;
        }

        // The share of the variance is right for large samples only: a peak at the end of the window moves the window there.
        var centre = Math.Asin(Math.Sqrt(Math.Clamp(share, 0, 1)));
        for (var moves = 0; moves < MostMoves; moves++)
        {
            var low = Math.Max(0, centre - Window);
            var high = Math.Min(Math.PI / 2, centre + Window);
            if (Peak.Find(Gain, low, centre, high, Tolerance) is not { } peak)
                return null;
            var isAtEnd = (low > 0 && peak.At - low < NearEnd) || (high < Math.PI / 2 && high - peak.At < NearEnd);
            if (!isAtEnd)
                return sign * peak.Value;
            centre = peak.At;
        }

        return null;
    }
}
