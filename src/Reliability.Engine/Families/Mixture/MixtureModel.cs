using System.Collections.Frozen;
using System.Globalization;
using Reliability.Engine.Abstractions;
using Reliability.Engine.Catalog;
using Reliability.Engine.Fitting;

namespace Reliability.Engine.Families;

/// <summary>
/// Maximum likelihood for a mixture of two Weibulls. The likelihood has no greatest value, since a subpopulation may collapse onto one
/// failure; what is given is the highest maximum at which neither does (McLachlan and Peel 2000, 3.10, from memory).
/// </summary>
/// <param name="weibull">The single Weibull that the mixture is held against.</param>
internal sealed class MixtureModel(ILifeModel weibull) : ILifeModel
{
    private const int MostStarts = 3;

    // A subpopulation of fewer failures than this, or of nearly one age, has no parameters of its own.
    private const double LeastFailures = 2, GreatestShape = 200;

    // Less log-likelihood gained over a single Weibull than this is the same distribution written twice.
    private const double LeastGain = 1e-3;

    // Common practice: a mixture that gains less has not been seen in the lives.
    private const double SlightGain = 2.5;

    private readonly WeibullMixtureFamily _family = new();

    public LifeModelDescription Description { get; } = Describe(new WeibullMixtureFamily());

    public ILifeFamily Family => _family;

    public Estimable<IFittedLife> Fit(
        LifeSample sample, FitOptions options, CancellationToken cancellationToken = default)
    {
        FitRequest.Check(Description, sample, options);
        if (FamilyModel.Unestimable(sample, Description.DisplayName) is { } reason)
            return reason;
        cancellationToken.ThrowIfCancellationRequested();
        if (!weibull.Fit(sample, new FitOptions { BoundsMethod = BoundsMethod.NormalApproximation }, cancellationToken).TryGet(out var single, out var noSingle))
            return noSingle;
        var surface = new Surface(
            new FamilyLikelihood(_family, sample), new FreeParameters(_family.Parameters, FrozenDictionary<string, double>.Empty));
        if (Highest(surface, cancellationToken) is not { } maximum)
            return NotIdentified("no two subpopulations were found of which neither is gone or of one single age");
        var gain = maximum.Value - single.LogLikelihood!.Value;
        if (gain < LeastGain)
            return NotIdentified("the two that were found are the same");
        return Estimable<IFittedLife>.Of(new FittedFamilyLife(
            Description, surface, maximum, FamilyRegion.For(surface, maximum, options), options, Warnings(sample, gain), cancellationToken));
    }

    /// <summary>The highest maximum at which both subpopulations are there; null when there is none.</summary>
    private FamilyMaximum? Highest(Surface surface, CancellationToken cancellationToken)
    {
        var sample = surface.Likelihood.Sample;
        var starts = MixtureSplit.Starts(_family, sample, cancellationToken).Where(p => AreThere(sample, p))
            .Select(p => surface.Parameters.Point(Ordered(p))).Select(p => (Point: p, Value: surface.At(p, cancellationToken)))
            .Where(p => double.IsFinite(p.Value)).OrderByDescending(p => p.Value).Take(MostStarts).ToList();
        FamilyMaximum? best = null;
        foreach (var (point, _) in starts)
        {
            if (!FamilyMaximiser.MaximiseFrom(surface, point, cancellationToken).TryGet(out var found, out _))
                continue;
            var natural = surface.Parameters.Natural(found.Point);
            if (!AreThere(sample, natural) || found.Value <= best?.Value)
                continue;
            if (!Ordered(natural).SequenceEqual(natural)
                && !FamilyMaximiser.MaximiseFrom(surface, surface.Parameters.Point(Ordered(natural)), cancellationToken).TryGet(out found, out _))
            {
                continue;
            }

            best = found;
        }

        return best;
    }

    private bool AreThere(LifeSample sample, double[] parameters)
    {
        if (!parameters.Zip(_family.Parameters).All(pair => pair.Second.Allows(pair.First)) || Math.Max(parameters[1], parameters[3]) > GreatestShape)
            return false;
        var shares = MixtureSplit.SharesOf(_family, sample, parameters);
        double early = 0, late = 0;
        for (var i = 0; i < shares.Length; i++)
        {
            if (sample.Outcomes[i] == LifeOutcome.Survived)
                continue;
            early += sample.Counts[i] * shares[i];
            late += sample.Counts[i] * (1 - shares[i]);
        }

        return Math.Min(early, late) >= LeastFailures;
    }

    /// <summary>The subpopulation with the earlier median first.</summary>
    private static double[] Ordered(double[] p)
    {
        double LogMedian(int k) => Math.Log(p[k + 1]) + Math.Log(Math.Log(2)) / p[k];
        return LogMedian(1) <= LogMedian(3) ? p : [1 - p[0], p[3], p[4], p[1], p[2]];
    }

    private static NotEstimable NotIdentified(string why) => new(
        NotEstimableReasons.NotIdentified, $"These lives do not show two subpopulations: {why}. A single Weibull says what there is to say.");

    private static List<EngineWarning> Warnings(LifeSample sample, double gain)
    {
        var warnings = FitWarnings.Of(sample);
        warnings.Add(new EngineWarning(
            WarningCodes.LocalMaximum,
            "The likelihood of a mixture has no greatest value: a subpopulation may collapse onto one failure. This is the highest maximum found "
            + "at which neither does."));
        if (gain < SlightGain)
        {
            warnings.Add(new EngineWarning(
                WarningCodes.MixtureNotDistinguished,
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"Two subpopulations gain only {gain:G3} of log-likelihood over a single Weibull: these lives hardly show them. (No chi-square ")
                + "tells how much is enough; a simulation does.)"));
        }

        return warnings;
    }

    private static LifeModelDescription Describe(WeibullMixtureFamily family) => new(
        family.Id,
        family.DisplayName,
        family.Parameters,
        new LifeModelCapabilities
        {
            SupportsIntervals = true,
            SupportsLateEntry = true,
            ScaleEquivariant = true,
            BoundsMethods = FrozenSet.Create(BoundsMethod.LikelihoodRatio, BoundsMethod.NormalApproximation),
        },
        family.Plot,
        EngineVersion.Text,
        "Dempster, Laird and Rubin 1977; McLachlan and Peel 2000, 3.10; Meeker and Escobar 1998, 5.12")
    {
        PlugIn = EngineVersion.BuiltIn,
    };
}
