using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>
/// Lays out what the lives of a plan may come to under a fit. A life entered at hazard A fails at hazard E with density exp(A - E)
/// beyond A, and is stopped at its end with what is left.
/// </summary>
internal sealed class OutcomeLayout
{
    // Up to so many stops in a panel stand each for itself, more are laid on the panel's nodes.
    private const int StopsApart = 16;

    private readonly IStandardDistribution _distribution;
    private readonly CensoringPlan _plan;
    private readonly Inspections? _inspections;
    private readonly (double U, double V) _fit;
    private readonly double[] _entryHazards;
    private readonly double[] _endHazards;
    private readonly LifeTerm[] _entries;
    private readonly LivesAt[] _entered;
    private readonly double[][] _left;
    private readonly bool _hasLateEntry;
    private readonly List<Ending> _endings = [];
    private readonly Dictionary<(double Lower, double Upper), LivesAt> _cells = [];

    public OutcomeLayout(
        IStandardDistribution distribution, CensoringPlan plan, Inspections? inspections, (double U, double V) fit)
    {
        (_distribution, _plan, _inspections, _fit) = (distribution, plan, inspections, fit);
        _entryHazards = Array.ConvertAll(plan.Entries, HazardAt);
        _endHazards = Array.ConvertAll(plan.Ends, HazardAt);
        _hasLateEntry = Array.Exists(plan.Entries, double.IsFinite);
        _entries = Array.ConvertAll(plan.Entries, x => double.IsFinite(x) ? Ending.Stopped(x).Term(distribution, fit) : default);
        _entered = new LivesAt[_entries.Length];
        _left = Array.ConvertAll(plan.Lives, Left);
    }

    /// <summary>The ends with the lives that come to them, and the entries.</summary>
    public IReadOnlyList<Ending> Endings()
    {
        var shared = _inspections?.SharedPositions.Select(HazardAt) ?? [];
        double[] marks = [.. _entryHazards.Concat(_endHazards).Concat(shared).Where(hazard => hazard < HazardPanel.Most).Distinct().Order()];
        var (mark, end) = (0, 0);
        foreach (var panel in HazardPanel.All)
        {
            var nodes = new Nodes(this, panel);
            var from = panel.From;
            while (from < panel.To)
            {
                for (; mark < marks.Length && marks[mark] <= from; mark++)
                {
                }

                var to = mark < marks.Length ? Math.Min(marks[mark], panel.To) : panel.To;
                end = nodes.Stop(end, from);
                nodes.Fail(from, to, Watched(from, end));
                from = to;
            }

            end = nodes.Stop(end, panel.To);
            nodes.Finish();
        }

        foreach (var (cell, lives) in _cells)
            Add(Ending.Between(cell), lives);
        for (var g = 0; g < _entries.Length && _hasLateEntry; g++)
        {
            if (double.IsFinite(_plan.Entries[g]) && double.IsFinite(_entries[g].Log))
                _endings.Add(Ending.Stopped(_plan.Entries[g]) with { LogAtFit = _entries[g].Log, ByLogU = -_entered[g].ByLogU, ByV = -_entered[g].ByV });
        }

        return _endings;
    }

    private double HazardAt(double x) => double.IsNegativeInfinity(x) ? 0
        : double.IsPositiveInfinity(x) ? x
        : Math.Exp(_distribution.LogCumulativeHazard(_fit.U * x + _fit.V));

    private double PositionAt(double hazard) => (_distribution.AtLogHazard(Math.Log(hazard)) - _fit.V) / _fit.U;

    /// <summary>Lives by entry that are watched beyond a hazard, as if they had been from 0 on: all that are stopped at an end or later.</summary>
    private double[] Watched(double hazard, int firstEnd)
    {
        var lives = new double[_entries.Length];
        for (var g = 0; g < lives.Length; g++)
        {
            if (_entryHazards[g] <= hazard)
                lives[g] = _left[g][firstEnd] * Math.Exp(_entryHazards[g]);
        }

        return lives;
    }

    /// <summary>Lives that are stopped at an end or later, for each end and beyond the last.</summary>
    private static double[] Left(double[] lives)
    {
        var left = new double[lives.Length + 1];
        for (var k = lives.Length - 1; k >= 0; k--)
            left[k] = left[k + 1] + lives[k];
        return left;
    }

    /// <summary>The sum of lives by entry, with their entries' scores.</summary>
    private LivesAt Sum(double[] lives)
    {
        var sum = default(LivesAt);
        for (var g = 0; g < lives.Length; g++)
            sum += new LivesAt(1, -_entries[g].ByLogU, -_entries[g].ByV) * lives[g];
        return sum;
    }

    /// <summary>Adds to what lives by entry say in all, which their entries carry: ends with their chances and scores.</summary>
    private void Enter(double[] lives, double chance, double byLogU, double byV)
    {
        for (var g = 0; g < lives.Length && _hasLateEntry; g++)
            _entered[g] += new LivesAt(chance, byLogU - chance * _entries[g].ByLogU, byV - chance * _entries[g].ByV) * lives[g];
    }

    private void Add(in Ending ending, LivesAt lives)
    {
        if (lives.Count == 0)
            return;
        var atFit = ending.Term(_distribution, _fit);
        if (double.IsFinite(atFit.Log) && double.IsFinite(atFit.ByLogU) && double.IsFinite(atFit.ByV))
            _endings.Add(ending.With(atFit, lives));
    }

    /// <summary>The lives that come to their ends in one panel.</summary>
    private sealed class Nodes
    {
        private readonly OutcomeLayout _layout;
        private readonly HazardPanel _panel;
        private readonly double[] _positions;
        private readonly LivesAt[] _failed, _stopped;
        private readonly double[] _weights;
        private readonly double _seenWithin;
        private readonly bool _stopsApart;
        private LifeTerm[]? _failedAtFit, _stoppedAtFit;

        public Nodes(OutcomeLayout layout, HazardPanel panel)
        {
            (_layout, _panel) = (layout, panel);
            _positions = Array.ConvertAll(panel.Nodes, layout.PositionAt);
            (_failed, _stopped) = (new LivesAt[_positions.Length], new LivesAt[_positions.Length]);
            _weights = new double[_positions.Length];
            _seenWithin = layout._inspections?.Share ?? 0;
            _stopsApart = layout._endHazards.Count(hazard => hazard > panel.From && hazard <= panel.To) <= StopsApart;
        }

        /// <summary>Lives that fail between two hazards.</summary>
        public void Fail(double from, double to, double[] watched)
        {
            var sum = _layout.Sum(watched);
            if (sum.Count <= 0)
                return;
            Array.Clear(_weights);
            _panel.AddStretch(from, to, _weights);
            for (var j = 0; j < _weights.Length; j++)
                _failed[j] += sum * _weights[j];
            var own = 1 - (_layout._inspections is { HasSharedAges: true } ? _seenWithin : 0);
            if (_layout._hasLateEntry)
                Enter(watched, _failedAtFit ??= Array.ConvertAll(_positions, AtFit), own);
            if (own < 1)
                FailWithin(from, to, watched, sum);
        }

        /// <summary>Lives that are stopped up to a hazard, from an end on; the first end beyond.</summary>
        public int Stop(int end, double hazard)
        {
            for (; end < _layout._endHazards.Length && _layout._endHazards[end] <= hazard; end++)
                Stop(end);
            return end;
        }

        private void Stop(int end)
        {
            var hazard = _layout._endHazards[end];
            var lives = new double[_layout._entries.Length];
            for (var g = 0; g < lives.Length; g++)
            {
                if (_layout._entryHazards[g] <= hazard)
                    lives[g] = _layout._plan.Lives[g][end] * Math.Exp(_layout._entryHazards[g] - hazard);
            }

            var sum = _layout.Sum(lives);
            if (sum.Count <= 0)
                return;
            if (_stopsApart)
            {
                var ending = Ending.Stopped(_layout._plan.Ends[end]);
                _layout.Add(ending, sum);
                var atFit = ending.Term(_layout._distribution, _layout._fit);
                _layout.Enter(lives, 1, atFit.ByLogU, atFit.ByV);
                return;
            }

            Array.Clear(_weights);
            _panel.AddPoint(hazard, 1, _weights);
            for (var j = 0; j < _weights.Length; j++)
                _stopped[j] += sum * _weights[j];
            if (_layout._hasLateEntry)
            {
                Enter(lives, _stoppedAtFit ??= Array.ConvertAll(
                    _positions, x => Ending.Stopped(x).Term(_layout._distribution, _layout._fit)), 1);
            }
        }

        /// <summary>Hands the ends at the nodes over.</summary>
        public void Finish()
        {
            for (var j = 0; j < _positions.Length; j++)
            {
                foreach (var (ending, share) in Failures(_positions[j]))
                    _layout.Add(ending, _failed[j] * share);
                _layout.Add(Ending.Stopped(_positions[j]), _stopped[j]);
            }
        }

        /// <summary>Failures that inspections at shared ages see: what they say is one thing for all in a cell.</summary>
        private void FailWithin(double from, double to, double[] watched, LivesAt sum)
        {
            var cell = _layout._inspections!.Around(_layout.PositionAt((from + to) / 2)).Single();
            var chance = _seenWithin * (Math.Exp(-from) - Math.Exp(-to));
            _layout._cells[cell] = _layout._cells.GetValueOrDefault(cell) + sum * chance;
            var atFit = Ending.Between(cell).Term(_layout._distribution, _layout._fit);
            if (double.IsFinite(atFit.Log))
                _layout.Enter(watched, chance, chance * atFit.ByLogU, chance * atFit.ByV);
        }

        private void Enter(double[] lives, LifeTerm[] atFit, double share)
        {
            double chance = 0, byLogU = 0, byV = 0;
            for (var j = 0; j < _weights.Length; j++)
            {
                var weight = _weights[j] * share;
                chance += weight;
                byLogU += weight * atFit[j].ByLogU;
                byV += weight * atFit[j].ByV;
            }

            _layout.Enter(lives, chance, byLogU, byV);
        }

        private LifeTerm AtFit(double x)
        {
            double shares = 0, byLogU = 0, byV = 0;
            foreach (var (ending, share) in Failures(x))
            {
                var term = ending.Term(_layout._distribution, _layout._fit);
                shares += share;
                byLogU += share * term.ByLogU;
                byV += share * term.ByV;
            }

            return shares > 0 ? new(0, byLogU / shares, byV / shares) : default;
        }

        /// <summary>What a failure at x is known as, with shares; those that inspections at shared ages see stand elsewhere.</summary>
        private IEnumerable<(Ending Ending, double Share)> Failures(double x)
        {
            if (_seenWithin < 1)
                yield return (Ending.Failed(x), 1 - _seenWithin);
            if (_layout._inspections is not { HasSharedAges: false } inspections)
                yield break;
            var around = inspections.Around(x).ToList();
            foreach (var cell in around)
                yield return (Ending.Between(cell), _seenWithin / around.Count);
        }
    }
}
