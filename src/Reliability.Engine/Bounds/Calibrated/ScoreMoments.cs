using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>
/// Expectations under the fit, over the lives of a plan, of products of scores and likelihoods at the fit and at a constrained fit:
/// S = E[s(fit) s(constrained)'], Q = E[s(fit) (l(fit) - l(constrained))], i = E[s(fit) s(fit)'], by (log u, v). Skovgaard (1996).
/// </summary>
/// <remarks>
/// A life entered at hazard A fails at hazard E with density exp(A - E) beyond A. What it says is the sum of what its end says and of
/// what its entry takes off, so that over the lives that are watched at E only sums of the latter are needed.
/// </remarks>
internal sealed class ScoreMoments
{
    private readonly IStandardDistribution _distribution;
    private readonly (double U, double V) _fit;
    private readonly (double U, double V) _constrained;
    private readonly double[,] _s = new double[2, 2];
    private readonly double[,] _i = new double[2, 2];
    private readonly double[] _q = new double[2];

    private ScoreMoments(IStandardDistribution distribution, (double U, double V) fit, (double U, double V) constrained) =>
        (_distribution, _fit, _constrained) = (distribution, fit, constrained);

    /// <summary>S^-1 Q, about the fit minus the constrained fit.</summary>
    public (double LogU, double V) Difference
    {
        get
        {
            var determinant = Determinant(_s);
            return (
                (_s[1, 1] * _q[0] - _s[0, 1] * _q[1]) / determinant,
                (_s[0, 0] * _q[1] - _s[1, 0] * _q[0]) / determinant);
        }
    }

    /// <summary>|S| / |i|.</summary>
    public double Ratio => Determinant(_s) / Determinant(_i);

    /// <summary>Takes them over a plan.</summary>
    public static ScoreMoments Of(
        IStandardDistribution distribution, CensoringPlan plan, (double U, double V) fit, (double U, double V) constrained)
    {
        var moments = new ScoreMoments(distribution, fit, constrained);
        moments.AddAll(plan);
        return moments;
    }

    private void AddAll(CensoringPlan plan)
    {
        var entryHazards = Array.ConvertAll(plan.Entries, HazardAt);
        var entered = Array.ConvertAll(plan.Entries, EntryOf);
        var endHazards = Array.ConvertAll(plan.Ends, HazardAt);
        var marks = entryHazards.Concat(endHazards).Append(0).Append(HazardNodes.Most)
            .Where(hazard => hazard <= HazardNodes.Most).Distinct().Order().ToArray();
        var watched = new double[plan.Entries.Length];
        for (var g = 0; g < watched.Length; g++)
            watched[g] = plan.Lives[g].Sum();
        var end = 0;
        for (var mark = 0; mark < marks.Length; mark++)
        {
            var from = marks[mark];
            for (; end < endHazards.Length && endHazards[end] <= from; end++)
            {
                var stopped = new Watched();
                for (var g = 0; g < watched.Length; g++)
                {
                    if (plan.Lives[g][end] > 0 && entryHazards[g] <= from)
                        stopped.Add(plan.Lives[g][end] * Math.Exp(entryHazards[g] - from), entered[g]);
                    watched[g] -= plan.Lives[g][end];
                }

                if (stopped.Lives > 0)
                    Add(1, stopped, EndOf(plan.Ends[end], failed: false));
            }

            if (mark + 1 == marks.Length)
                return;
            var here = new Watched();
            for (var g = 0; g < watched.Length; g++)
            {
                if (entryHazards[g] <= from && watched[g] > 1e-12)
                    here.Add(watched[g] * Math.Exp(entryHazards[g]), entered[g]);
            }

            if (here.Lives <= 0)
                continue;
            foreach (var (at, weight) in HazardNodes.Between(from, marks[mark + 1]))
            {
                var x = (_distribution.AtLogHazard(Math.Log(at)) - _fit.V) / _fit.U;
                Add(weight * Math.Exp(-at), here, EndOf(x, failed: true));
            }
        }
    }

    private double HazardAt(double x) => double.IsNegativeInfinity(x) ? 0
        : double.IsPositiveInfinity(x) ? x
        : Math.Exp(_distribution.LogCumulativeHazard(_fit.U * x + _fit.V));

    /// <summary>What the end of a life says.</summary>
    private Said EndOf(double x, bool failed)
    {
        var (l, s1, s2) = At(_fit, x, failed);
        var (lc, c1, c2) = At(_constrained, x, failed);
        return new(s1, s2, c1, c2, l - lc);
    }

    /// <summary>What its entry takes off.</summary>
    private Said EntryOf(double x)
    {
        if (double.IsNegativeInfinity(x))
            return default;
        var end = EndOf(x, failed: false);
        return new(-end.S1, -end.S2, -end.C1, -end.C2, -end.Difference);
    }

    private (double Log, double ByLogU, double ByV) At((double U, double V) at, double x, bool failed)
    {
        var z = at.U * x + at.V;
        if (!failed)
        {
            var survival = _distribution.LogSurvival(z, out var fall, out _);
            return (survival, fall * at.U * x, fall);
        }

        var density = _distribution.LogDensity(z, out var slope, out _);
        return (Math.Log(at.U) + density, 1 + slope * at.U * x, slope);
    }

    private void Add(double weight, in Watched lives, in Said end)
    {
        Span<double> s = [end.S1, end.S2], c = [end.C1, end.C2];
        Span<double> es = [lives.S1, lives.S2], ec = [lives.C1, lives.C2];
        for (var a = 0; a < 2; a++)
        {
            for (var b = 0; b < 2; b++)
            {
                _s[a, b] += weight * (lives.Lives * s[a] * c[b] + es[a] * c[b] + s[a] * ec[b] + lives.SC(a, b));
                _i[a, b] += weight * (lives.Lives * s[a] * s[b] + es[a] * s[b] + s[a] * es[b] + lives.SS(a, b));
            }

            _q[a] += weight
                * (lives.Lives * s[a] * end.Difference + es[a] * end.Difference + s[a] * lives.Difference + lives.SD(a));
        }
    }

    private static double Determinant(double[,] m) => m[0, 0] * m[1, 1] - m[0, 1] * m[1, 0];

    /// <summary>Scores at the fit and at the constrained fit, and the difference of the likelihoods.</summary>
    private readonly record struct Said(double S1, double S2, double C1, double C2, double Difference);

    /// <summary>Lives that are watched at a hazard, with sums over them of what their entries take off and of its products.</summary>
    private struct Watched
    {
        private double _s1c1, _s1c2, _s2c1, _s2c2, _s1s1, _s1s2, _s2s2, _s1d, _s2d;

        public double Lives { get; private set; }

        public double S1 { get; private set; }

        public double S2 { get; private set; }

        public double C1 { get; private set; }

        public double C2 { get; private set; }

        public double Difference { get; private set; }

        public readonly double SC(int a, int b) => (a, b) switch { (0, 0) => _s1c1, (0, 1) => _s1c2, (1, 0) => _s2c1, _ => _s2c2 };

        public readonly double SS(int a, int b) => (a, b) switch { (0, 0) => _s1s1, (1, 1) => _s2s2, _ => _s1s2 };

        public readonly double SD(int a) => a == 0 ? _s1d : _s2d;

        public void Add(double lives, in Said entry)
        {
            Lives += lives;
            S1 += lives * entry.S1;
            S2 += lives * entry.S2;
            C1 += lives * entry.C1;
            C2 += lives * entry.C2;
            Difference += lives * entry.Difference;
            _s1c1 += lives * entry.S1 * entry.C1;
            _s1c2 += lives * entry.S1 * entry.C2;
            _s2c1 += lives * entry.S2 * entry.C1;
            _s2c2 += lives * entry.S2 * entry.C2;
            _s1s1 += lives * entry.S1 * entry.S1;
            _s1s2 += lives * entry.S1 * entry.S2;
            _s2s2 += lives * entry.S2 * entry.S2;
            _s1d += lives * entry.S1 * entry.Difference;
            _s2d += lives * entry.S2 * entry.Difference;
        }
    }
}
