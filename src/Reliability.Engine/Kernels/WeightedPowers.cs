using System.Runtime.CompilerServices;

namespace Reliability.Engine.Kernels;

/// <summary>
/// Sums of w exp(shape x) x^k over lives, k = 0 to 8, with x = log(hours / greatest hours), and of x over the failures: all that the
/// likelihood of exact and right-censored Weibull lives asks of a sample.
/// </summary>
[InlineArray(Length)]
internal struct WeightedPowers
{
    /// <summary>Powers 0 to 8, then the sum of x over failures.</summary>
    public const int Length = 10;

    /// <summary>Where the sum of x over failures stands.</summary>
    public const int FailedX = 9;

    private double _first;

    /// <summary>Adds another.</summary>
    public static void Join(ref WeightedPowers total, in WeightedPowers sum)
    {
        for (var k = 0; k < Length; k++)
            total[k] += sum[k];
    }

    /// <summary>The powers 0 to 3 at the shape changed by some step, by Taylor's series about the shape of the sums.</summary>
    /// <param name="step">Change of the shape.</param>
    /// <param name="highest">The highest power that was summed.</param>
    public readonly (double S0, double S1, double S2, double S3) Moved(double step, int highest)
    {
        double s0 = 0, s1 = 0, s2 = 0, s3 = 0, factor = 1;
        for (var k = 0; k <= highest; k++)
        {
            s0 += this[k] * factor;
            if (k + 1 <= highest)
                s1 += this[k + 1] * factor;
            if (k + 2 <= highest)
                s2 += this[k + 2] * factor;
            if (k + 3 <= highest)
                s3 += this[k + 3] * factor;
            factor *= step / (k + 1);
        }

        return (s0, s1, s2, s3);
    }
}
