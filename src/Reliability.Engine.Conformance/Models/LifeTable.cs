using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Conformance;

/// <summary>Ages of one member of a distribution over its cumulative hazard, found once: samples are drawn from it without asking again.</summary>
internal sealed class LifeTable
{
    private const double LeastLogHazard = -16, Step = 0.033;
    private const int Points = 600;

    private readonly double[] _logAges;

    /// <param name="distribution">The distribution.</param>
    /// <param name="member">Its parameters.</param>
    public LifeTable(ILifeFamily distribution, double[] member) =>
        _logAges = [.. distribution.AgesAt(member, [.. Enumerable.Range(0, Points).Select(i => Math.Exp(LeastLogHazard + i * Step))]).Select(age => Math.Log(age))];

    /// <summary>Ages at failed fractions, between tabulated ones along a line of log age over log hazard: to a ten-thousandth of the spread.</summary>
    public double[] Ages(double[] fractions) => [.. fractions.Select(Age)];

    private double Age(double fraction)
    {
        if (fraction == 0)
            return 0;
        var place = (Math.Log(Tails.Hazard(fraction)) - LeastLogHazard) / Step;
        var k = (int)Math.Clamp(Math.Floor(place), 0, Points - 2);
        return Math.Exp(_logAges[k] + (place - k) * (_logAges[k + 1] - _logAges[k]));
    }
}
