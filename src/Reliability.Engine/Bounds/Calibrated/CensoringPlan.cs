using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>
/// When the lives of a sample would have been stopped had they not failed: positions on the sample's log axis, rising, with the
/// number of lives each stands for; the last may be infinite. For lives watched from the start.
/// </summary>
internal sealed class CensoringPlan
{
    private CensoringPlan(double[] x, double[] weight) => (X, Weight) = (x, weight);

    public double[] X { get; }

    public double[] Weight { get; }

    /// <summary>
    /// The plan as far as it is known, else by the reverse Kaplan-Meier estimate: a life that failed would have been stopped like
    /// those that were stopped later.
    /// </summary>
    /// <param name="sample">The lives, without late entry or intervals.</param>
    public static CensoringPlan Of(LogTimeSample sample)
    {
        var lives = new List<(double X, bool Failed, double Count)>(sample.FailedX.Length + sample.SurvivedX.Length);
        for (var i = 0; i < sample.FailedX.Length; i++)
            lives.Add((sample.FailedX[i], true, sample.FailedCount[i]));
        for (var i = 0; i < sample.SurvivedX.Length; i++)
            lives.Add((sample.SurvivedX[i], false, sample.SurvivedCount[i]));

        // At equal times failures come first.
        lives.Sort(static (one, other) =>
            one.X.CompareTo(other.X) is not 0 and var order ? order : other.Failed.CompareTo(one.Failed));
        var x = new List<double>();
        var weight = new List<double>();
        double carry = 0, left = lives.Sum(life => life.Count);
        foreach (var (at, failed, count) in lives)
        {
            if (failed)
            {
                carry += count;
            }
            else
            {
                var share = carry * count / left;
                Add(at, count + share);
                carry -= share;
            }

            left -= count;
        }

        if (carry > 1e-12)
            Add(double.PositiveInfinity, carry);
        return new([.. x], [.. weight]);

        void Add(double at, double lifeCount)
        {
            if (x.Count > 0 && x[^1] == at)
            {
                weight[^1] += lifeCount;
                return;
            }

            x.Add(at);
            weight.Add(lifeCount);
        }
    }

    /// <summary>Every life would have been stopped at one age.</summary>
    public static CensoringPlan At(double x, double count) => new([x], [count]);
}
