using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>
/// All that the lives of a plan may come to under the fit, with its chances, and the moments over it that Skovgaard (1996) needs:
/// S = E[s(fit) s(constrained)'], Q = E[s(fit) (l(fit) - l(constrained))], i = E[s(fit) s(fit)'], by (log u, v).
/// </summary>
/// <remarks>
/// A life entered at hazard A fails at hazard E with density exp(A - E) beyond A. What it says is the sum of what its end says and of
/// what its entry takes off, so that over the lives that are watched at E only sums of the latter are needed. What the fit says is
/// worked out once, for all quantities.
/// </remarks>
internal sealed class ExpectedOutcomes
{
    private readonly IStandardDistribution _distribution;
    private readonly double[] _entries;
    private readonly LifeTerm[] _entriesAtFit;
    private readonly List<Ending> _endings = [];
    private readonly List<double[]> _crowds = [];
    private readonly bool _hasLateEntry;
    private double _i11, _i12, _i22;

    private ExpectedOutcomes(IStandardDistribution distribution, CensoringPlan plan, (double U, double V) fit)
    {
        _distribution = distribution;
        _entries = plan.Entries;
        _hasLateEntry = Array.Exists(_entries, double.IsFinite);
        _entriesAtFit = Array.ConvertAll(_entries, x => Entered(x, fit));
    }

    /// <summary>Lays the outcomes of a plan out.</summary>
    /// <param name="distribution">The standard distribution.</param>
    /// <param name="plan">When lives are first watched and stopped.</param>
    /// <param name="inspections">How failures come to be known only between two ages; null when all are known exactly.</param>
    /// <param name="fit">The fit.</param>
    public static ExpectedOutcomes Of(
        IStandardDistribution distribution, CensoringPlan plan, Inspections? inspections, (double U, double V) fit)
    {
        var outcomes = new ExpectedOutcomes(distribution, plan, fit);
        outcomes.LayOut(plan, inspections, fit);
        outcomes.SumInformation();
        return outcomes;
    }

    /// <summary>The moments with a constrained fit.</summary>
    public ScoreMoments With((double U, double V) constrained)
    {
        var entered = _hasLateEntry ? Array.ConvertAll(_entries, x => Entered(x, constrained)) : [];
        var moments = new ScoreMoments { I11 = _i11, I12 = _i12, I22 = _i22 };
        var crowd = -1;
        var watched = default(Watched);
        foreach (var ending in _endings)
        {
            if (ending.Crowd != crowd)
            {
                crowd = ending.Crowd;
                watched = new Watched(_crowds[crowd], _entriesAtFit, entered);
            }

            var there = At(ending, constrained);
            var at = ending.AtFit;
            var gain = at.Log - there.Log;
            var w = ending.Weight * watched.Lives;
            moments.S11 += w * at.ByLogU * there.ByLogU;
            moments.S12 += w * at.ByLogU * there.ByV;
            moments.S21 += w * at.ByV * there.ByLogU;
            moments.S22 += w * at.ByV * there.ByV;
            moments.Q1 += w * at.ByLogU * gain;
            moments.Q2 += w * at.ByV * gain;
            if (_hasLateEntry)
                watched.Add(ref moments, ending.Weight, at, there, gain);
        }

        return moments;
    }

    private void LayOut(CensoringPlan plan, Inspections? inspections, (double U, double V) fit)
    {
        var entryHazards = Array.ConvertAll(plan.Entries, x => HazardAt(x, fit));
        var endHazards = Array.ConvertAll(plan.Ends, x => HazardAt(x, fit));
        var shared = inspections?.SharedPositions.Select(x => HazardAt(x, fit)) ?? [];
        var marks = entryHazards.Concat(endHazards).Concat(shared).Append(0).Append(HazardNodes.Most)
            .Where(hazard => hazard <= HazardNodes.Most).Distinct().Order().ToArray();
        var watched = Array.ConvertAll(plan.Lives, lives => lives.Sum());
        var end = 0;
        for (var mark = 0; mark < marks.Length; mark++)
        {
            var from = marks[mark];
            for (; end < endHazards.Length && endHazards[end] <= from; end++)
            {
                var stopped = new double[watched.Length];
                for (var g = 0; g < watched.Length; g++)
                {
                    if (plan.Lives[g][end] > 0 && entryHazards[g] <= from)
                        stopped[g] = plan.Lives[g][end] * Math.Exp(entryHazards[g] - from);
                    watched[g] -= plan.Lives[g][end];
                }

                if (AddCrowd(stopped))
                    Add(new Ending(plan.Ends[end], double.PositiveInfinity, 1, _crowds.Count - 1), fit);
            }

            if (mark + 1 == marks.Length)
                return;
            var here = new double[watched.Length];
            for (var g = 0; g < watched.Length; g++)
            {
                if (entryHazards[g] <= from && watched[g] > 1e-12)
                    here[g] = watched[g] * Math.Exp(entryHazards[g]);
            }

            if (!AddCrowd(here))
                continue;
            foreach (var (at, weight) in HazardNodes.Between(from, marks[mark + 1]))
                AddFailure((_distribution.AtLogHazard(Math.Log(at)) - fit.V) / fit.U, weight * Math.Exp(-at), inspections, fit);
        }
    }

    private bool AddCrowd(double[] lives)
    {
        if (lives.Sum() <= 0)
            return false;
        _crowds.Add(lives);
        return true;
    }

    private void AddFailure(double x, double weight, Inspections? inspections, (double U, double V) fit)
    {
        var crowd = _crowds.Count - 1;
        var share = inspections?.Share ?? 0;
        if (share < 1)
            Add(new Ending(x, x, weight * (1 - share), crowd), fit);
        if (inspections is null)
            return;
        var around = inspections.Around(x).ToList();
        foreach (var (lower, upper) in around)
            Add(new Ending(lower, upper, weight * share / around.Count, crowd), fit);
    }

    private void Add(Ending ending, (double U, double V) fit)
    {
        var atFit = At(ending, fit);
        if (double.IsFinite(atFit.Log) && double.IsFinite(atFit.ByLogU) && double.IsFinite(atFit.ByV))
            _endings.Add(ending with { AtFit = atFit });
    }

    private void SumInformation()
    {
        var crowd = -1;
        var watched = default(Watched);
        foreach (var ending in _endings)
        {
            if (ending.Crowd != crowd)
            {
                crowd = ending.Crowd;
                watched = new Watched(_crowds[crowd], _entriesAtFit, _hasLateEntry ? _entriesAtFit : []);
            }

            var moments = default(ScoreMoments);
            var (at, w) = (ending.AtFit, ending.Weight * watched.Lives);
            if (_hasLateEntry)
                watched.Add(ref moments, ending.Weight, at, at, 0);
            _i11 += moments.S11 + w * at.ByLogU * at.ByLogU;
            _i12 += moments.S12 + w * at.ByLogU * at.ByV;
            _i22 += moments.S22 + w * at.ByV * at.ByV;
        }
    }

    private double HazardAt(double x, (double U, double V) fit) => double.IsNegativeInfinity(x) ? 0
        : double.IsPositiveInfinity(x) ? x
        : Math.Exp(_distribution.LogCumulativeHazard(fit.U * x + fit.V));

    private LifeTerm Entered(double x, (double U, double V) at) =>
        double.IsFinite(x) ? -LifeTerm.Stopped(_distribution, x, at) : default;

    private LifeTerm At(in Ending ending, (double U, double V) at) =>
        ending.Lower == ending.Upper ? LifeTerm.Failed(_distribution, ending.Lower, at)
        : double.IsPositiveInfinity(ending.Upper) ? LifeTerm.Stopped(_distribution, ending.Lower, at)
        : LifeTerm.Between(_distribution, ending.Lower, ending.Upper, at);

    /// <summary>One end a life may come to: failed where the two places are one, stopped at the lower where the upper is infinite.</summary>
    private readonly record struct Ending(double Lower, double Upper, double Weight, int Crowd)
    {
        public LifeTerm AtFit { get; init; }
    }

    /// <summary>Lives that are watched at a hazard, with sums over them of what their entries take off and of its products.</summary>
    private readonly struct Watched
    {
        private readonly LifeTerm _atFit, _there;
        private readonly double _gain, _s11, _s12, _s21, _s22, _q1, _q2;

        public Watched(double[] lives, LifeTerm[] atFit, LifeTerm[] constrained)
        {
            double a0 = 0, a1 = 0, a2 = 0, c1 = 0, c2 = 0;
            for (var g = 0; g < lives.Length; g++)
            {
                var count = lives[g];
                Lives += count;
                if (count <= 0 || constrained.Length == 0)
                    continue;
                var (at, there) = (atFit[g], constrained[g]);
                var gain = at.Log - there.Log;
                a1 += count * at.ByLogU;
                a2 += count * at.ByV;
                c1 += count * there.ByLogU;
                c2 += count * there.ByV;
                a0 += count * gain;
                _s11 += count * at.ByLogU * there.ByLogU;
                _s12 += count * at.ByLogU * there.ByV;
                _s21 += count * at.ByV * there.ByLogU;
                _s22 += count * at.ByV * there.ByV;
                _q1 += count * at.ByLogU * gain;
                _q2 += count * at.ByV * gain;
            }

            (_atFit, _there, _gain) = (new(0, a1, a2), new(0, c1, c2), a0);
        }

        public double Lives { get; }

        /// <summary>Adds the products in which an entry has a part.</summary>
        public void Add(ref ScoreMoments moments, double weight, in LifeTerm at, in LifeTerm there, double gain)
        {
            moments.S11 += weight * (_atFit.ByLogU * there.ByLogU + at.ByLogU * _there.ByLogU + _s11);
            moments.S12 += weight * (_atFit.ByLogU * there.ByV + at.ByLogU * _there.ByV + _s12);
            moments.S21 += weight * (_atFit.ByV * there.ByLogU + at.ByV * _there.ByLogU + _s21);
            moments.S22 += weight * (_atFit.ByV * there.ByV + at.ByV * _there.ByV + _s22);
            moments.Q1 += weight * (_atFit.ByLogU * gain + at.ByLogU * _gain + _q1);
            moments.Q2 += weight * (_atFit.ByV * gain + at.ByV * _gain + _q2);
        }
    }
}
