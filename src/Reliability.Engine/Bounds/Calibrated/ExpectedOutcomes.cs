using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>
/// All that the lives of a plan may come to under the fit, with its chances, and the moments over it that Skovgaard (1996) needs:
/// S = E[s(fit) s(constrained)'], Q = E[s(fit) (l(fit) - l(constrained))], i = E[s(fit) s(fit)'], by (log u, v).
/// </summary>
/// <remarks>
/// What a life says is the sum of what its end says and of what its entry takes off. The moments are linear in what the constrained fit
/// makes of either, so each end and each entry carries the scores at the fit, summed over the lives that share it: that is worked out
/// once, for all quantities.
/// </remarks>
internal sealed class ExpectedOutcomes
{
    private readonly IStandardDistribution _distribution;
    private readonly Ending[] _endings;
    private readonly double _i11, _i12, _i22;

    /// <param name="distribution">The standard distribution.</param>
    /// <param name="endings">Ends of lives and, taken off, their entries.</param>
    /// <param name="fit">The fit.</param>
    public ExpectedOutcomes(IStandardDistribution distribution, IEnumerable<Ending> endings, (double U, double V) fit)
    {
        (_distribution, _endings) = (distribution, [.. endings]);
        var moments = With(fit);
        (_i11, _i12, _i22) = (moments.S11, (moments.S12 + moments.S21) / 2, moments.S22);
    }

    /// <summary>Lays the outcomes of a plan out.</summary>
    /// <param name="distribution">The standard distribution.</param>
    /// <param name="plan">When lives are first watched and stopped.</param>
    /// <param name="inspections">How failures come to be known only between two ages; null when all are known exactly.</param>
    /// <param name="fit">The fit.</param>
    public static ExpectedOutcomes Of(
        IStandardDistribution distribution, CensoringPlan plan, Inspections? inspections, (double U, double V) fit) =>
        new(distribution, new OutcomeLayout(distribution, plan, inspections, fit).Endings(), fit);

    /// <summary>The moments with a constrained fit.</summary>
    public ScoreMoments With((double U, double V) constrained)
    {
        var moments = new ScoreMoments { I11 = _i11, I12 = _i12, I22 = _i22 };
        foreach (ref readonly var ending in _endings.AsSpan())
        {
            var there = ending.Term(_distribution, constrained);
            var gain = ending.LogAtFit - there.Log;
            moments.S11 += ending.ByLogU * there.ByLogU;
            moments.S12 += ending.ByLogU * there.ByV;
            moments.S21 += ending.ByV * there.ByLogU;
            moments.S22 += ending.ByV * there.ByV;
            moments.Q1 += ending.ByLogU * gain;
            moments.Q2 += ending.ByV * gain;
        }

        return moments;
    }
}
