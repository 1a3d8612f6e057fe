using System.Globalization;
using Reliability.Engine.Abstractions;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Nonparametric;

/// <summary>
/// Mean cumulative function: the sum over ages of replacements over positions watched, d/n (Nelson 2003). Its robust variance is the
/// sum over positions of the square of C, where each age adds (own replacements - d/n)/n to the C of a position watched then
/// (Lawless and Nadeau 1995); nothing is assumed of how replacements of one position hang together.
/// </summary>
internal static class MeanCumulativeFunction
{
    private const double FewPositions = 10;

    /// <summary>A variance below this part of the terms it comes from is rounding: positions then do not differ.</summary>
    private const double Rounding = 1e-12;

    private static readonly EngineWarning NoVariance = new(
        WarningCodes.NoBounds, "All positions watched so far had their replacements alike, or there is one alone: the variance cannot be told.");

    public static ReplacementEstimate Of(
        IReadOnlyList<PositionHistory> positions, double confidenceLevel, CancellationToken cancellationToken)
    {
        var multiple = ReferenceDistributions.TwoSidedNormal(confidenceLevel);
        var replacements = Replacements(positions);
        var watch = new Watch(positions);
        var points = new List<ReplacementPoint>();
        double mean = 0, least = double.PositiveInfinity;
        for (int i = 0, next; i < replacements.Length; i = next)
        {
            if (points.Count % 1024 == 0)
                cancellationToken.ThrowIfCancellationRequested();
            var hours = replacements[i].Hours;
            watch.GoTo(hours);
            for (next = i; next < replacements.Length && replacements[next].Hours == hours; next++)
                watch.Replace(replacements[next].Position);
            double count = next - i;
            watch.Share(count);
            mean += count / watch.Count;
            least = Math.Min(least, watch.Count);
            var variance = watch.Variance;
            points.Add(new ReplacementPoint(
                hours, watch.Count, count,
                variance > 0
                    ? LogBounds.Of(mean, Math.Sqrt(variance), multiple)
                    : new BoundedEstimate { Value = mean, Notes = [NoVariance] }));
        }

        return new ReplacementEstimate(points, confidenceLevel, Warnings(positions, points, least));
    }

    private static (double Hours, int Position)[] Replacements(IReadOnlyList<PositionHistory> positions)
    {
        var replacements = new List<(double Hours, int Position)>();
        for (var position = 0; position < positions.Count; position++)
        {
            foreach (var hours in positions[position].ReplacementHours)
                replacements.Add((hours, position));
        }

        replacements.Sort();
        return [.. replacements];
    }

    private static List<EngineWarning> Warnings(IReadOnlyList<PositionHistory> positions, List<ReplacementPoint> points, double least)
    {
        var warnings = new List<EngineWarning>();
        if (points.Count == 0)
            warnings.Add(new EngineWarning(WarningCodes.NoReplacements, "No position had a replacement while it was watched."));
        if (least < FewPositions)
        {
            warnings.Add(new EngineWarning(
                WarningCodes.FewPositions,
                string.Create(CultureInfo.InvariantCulture,
                    $"As few as {least:G6} positions were watched at some replacements; from there on the estimate and its bounds rest on few.")));
        }

        // Ages up to the last replacement that nobody watched.
        double watched = 0;
        var until = points.Count > 0 ? points[^1].Hours : 0;
        foreach (var position in positions.OrderBy(p => p.StartHours))
        {
            if (position.StartHours > watched && watched < until)
            {
                warnings.Add(new EngineWarning(
                    WarningCodes.UnwatchedAges,
                    string.Create(CultureInfo.InvariantCulture,
                        $"No position was watched from {watched:G6} to {position.StartHours:G6} hours: replacements there are not in the mean.")));
                break;
            }

            watched = Math.Max(watched, position.EndHours);
        }

        return warnings;
    }

    /// <summary>
    /// The positions watched, as the age goes on. C of a position is its own replacements over n, less what all lost since its start;
    /// the loss is the same for all, so that sums of C and of its square move without a look at each.
    /// </summary>
    private sealed class Watch
    {
        private readonly IReadOnlyList<PositionHistory> _positions;
        private readonly int[] _byStart;
        private readonly int[] _byEnd;

        // C of each position, without the loss.
        private readonly double[] _own;
        private int _started;
        private int _ended;
        private double _lost;
        private double _sum;
        private double _squares;
        private double _ofEnded;

        public Watch(IReadOnlyList<PositionHistory> positions)
        {
            _positions = positions;
            _own = new double[positions.Count];
            _byStart = [.. Enumerable.Range(0, positions.Count).OrderBy(i => positions[i].StartHours)];
            _byEnd = [.. Enumerable.Range(0, positions.Count).OrderBy(i => positions[i].EndHours)];
        }

        public double Count => _started - _ended;

        public double Variance
        {
            get
            {
                var plus = _ofEnded + _squares + Count * _lost * _lost;
                var variance = plus - 2 * _lost * _sum;
                return variance > Rounding * plus ? variance : 0;
            }
        }

        /// <summary>Moves on to an age: start &lt; age &lt;= end is watched.</summary>
        public void GoTo(double hours)
        {
            for (; _started < _byStart.Length && _positions[_byStart[_started]].StartHours < hours; _started++)
                Put(_byStart[_started], _lost);
            for (; _ended < _byEnd.Length && _positions[_byEnd[_ended]].EndHours < hours; _ended++)
            {
                var own = _own[_byEnd[_ended]];
                _ofEnded += (own - _lost) * (own - _lost);
                _sum -= own;
                _squares -= own * own;
            }
        }

        public void Replace(int position)
        {
            var own = _own[position];
            _sum -= own;
            _squares -= own * own;
            Put(position, own + 1 / Count);
        }

        /// <summary>Takes from each position watched its share of the replacements at an age.</summary>
        public void Share(double replacements) => _lost += replacements / Count / Count;

        private void Put(int position, double own)
        {
            _own[position] = own;
            _sum += own;
            _squares += own * own;
        }
    }
}
