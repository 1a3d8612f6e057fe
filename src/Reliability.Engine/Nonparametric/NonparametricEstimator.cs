using Reliability.Engine.Abstractions;
using Reliability.Engine.Fitting;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Nonparametric;

/// <summary>Curves, incidences, restricted means and tests without a life model.</summary>
internal sealed class NonparametricEstimator : INonparametricEstimator
{
    /// <summary>Points that a thread makes at a time.</summary>
    private const int RunOfPoints = 4096;

    private static readonly EngineWarning TooSmall = new(
        WarningCodes.NoBounds, "The share that failed is smaller than can be told from none: the variance is not defined.");

    public Estimable<SurvivalEstimate> Estimate(
        LifeSample sample, double confidenceLevel = 0.95, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(sample);
        FitRequest.CheckLevel(confidenceLevel);
        if (sample.HasIntervals)
            return TurnbullCurve.Of(sample, confidenceLevel, cancellationToken);
        if (RiskSets.Refusal(sample) is { } refusal)
            return refusal;
        cancellationToken.ThrowIfCancellationRequested();
        var multiple = ReferenceDistributions.TwoSidedNormal(confidenceLevel);
        var curve = KaplanMeier.Of(sample);
        var sets = curve.Sets;
        var points = new SurvivalPoint[sets.Hours.Length];

        // A point hangs on no other: the same digits on any number of threads.
        Parallel.For(0, (points.Length + RunOfPoints - 1) / RunOfPoints, run =>
        {
            var end = Math.Min(points.Length, (run + 1) * RunOfPoints);
            for (var k = run * RunOfPoints; k < end; k++)
            {
                var before = k == 0 ? 1 : curve.Reliability[k - 1];
                points[k] = new SurvivalPoint(
                    sets.Hours[k], sets.AtRisk[k], sets.Failures[k],
                    ReliabilityAt(curve.Reliability[k], curve.Greenwood[k], multiple),
                    HazardAt(curve.Hazard[k], curve.HazardVariance[k], multiple),
                    1 - (before + curve.Reliability[k]) / 2);
            }
        });

        return new SurvivalEstimate(
            SurvivalMethod.KaplanMeier, points, Median(points), confidenceLevel, Warnings(sample, sets))
        {
            OldestHours = sample.OldestHours,
        };
    }

    public Estimable<IReadOnlyList<ModeIncidence>> Incidence(
        LifeSample sample, double confidenceLevel = 0.95, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(sample);
        FitRequest.CheckLevel(confidenceLevel);
        return RiskSets.Refusal(sample) is { } refusal
            ? refusal
            : Estimable<IReadOnlyList<ModeIncidence>>.Of(
                AalenJohansen.Of(sample, ReferenceDistributions.TwoSidedNormal(confidenceLevel), cancellationToken));
    }

    public BoundedEstimate RestrictedMean(SurvivalEstimate curve, double limitHours)
    {
        ArgumentNullException.ThrowIfNull(curve);
        if (!double.IsFinite(limitHours) || limitHours <= 0)
            throw new UnsupportedRequestException("limit_hours", "The age limit must be a finite number of hours above 0.");
        return Nonparametric.RestrictedMean.Of(curve, limitHours);
    }

    public Estimable<ReplacementEstimate> MeanReplacements(
        IReadOnlyList<PositionHistory> positions, double confidenceLevel = 0.95, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(positions);
        FitRequest.CheckLevel(confidenceLevel);
        return positions.Count == 0
            ? new NotEstimable(NotEstimableReasons.NoObservations, "There are no positions.")
            : MeanCumulativeFunction.Of(positions, confidenceLevel, cancellationToken);
    }

    public CohortTest LogRank(IReadOnlyList<LifeSample> cohorts, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(cohorts);
        return LogRankTest.Of(cohorts, cancellationToken);
    }

    /// <summary>Greenwood's variance and bounds on log(-log R) (Kalbfleisch and Prentice 2002, 1.4).</summary>
    private static BoundedEstimate ReliabilityAt(double reliability, double greenwood, double multiple)
    {
        if (!double.IsFinite(greenwood) || reliability <= 0)
        {
            return new BoundedEstimate
            {
                Value = reliability,
                Notes = [new EngineWarning(
                    WarningCodes.NoLowerBound, "All lives at risk had failed: the estimate is 0 and its variance is not defined.")],
            };
        }

        if (reliability >= 1)
            return new BoundedEstimate { Value = reliability, Notes = [TooSmall] };
        var error = Math.Sqrt(greenwood);
        var spread = multiple * error / Math.Abs(Math.Log(reliability));
        return new BoundedEstimate
        {
            Value = reliability,
            Lower = Math.Pow(reliability, Math.Exp(spread)),
            Upper = Math.Pow(reliability, Math.Exp(-spread)),
            StandardError = reliability * error,
        };
    }

    /// <summary>Variance sum of d/n^2 (Aalen) and bounds on the log scale (Kalbfleisch and Prentice 2002, 1.4).</summary>
    private static BoundedEstimate HazardAt(double hazard, double variance, double multiple)
    {
        if (!(variance > 0))
            return new BoundedEstimate { Value = hazard, Notes = [TooSmall] };
        var error = Math.Sqrt(variance);
        return LogBounds.Of(hazard, error, multiple);
    }

    /// <summary>First age at which the curve, and each of its bounds, is 0.5 or less (Brookmeyer and Crowley 1982).</summary>
    private static BoundedEstimate Median(SurvivalPoint[] points)
    {
        double? First(Func<BoundedEstimate, double?> of) =>
            points.Where(p => of(p.Reliability) <= 0.5).Select(p => (double?)p.Hours).FirstOrDefault();

        var value = First(r => r.Value);
        var lower = First(r => r.Lower);
        var upper = First(r => r.Upper);
        var notes = new List<EngineWarning>();
        if (value is null)
            notes.Add(new EngineWarning(WarningCodes.NoValue, "Fewer than half of the lives have failed: the median is not reached."));
        if (lower is null)
            notes.Add(new EngineWarning(WarningCodes.NoLowerBound, "The lower bound of reliability stays above one half, or is not defined where the curve falls below it."));
        if (upper is null)
            notes.Add(new EngineWarning(WarningCodes.NoUpperBound, "The upper bound of reliability stays above one half, or is not defined where the curve falls below it."));
        return new BoundedEstimate { Value = value, Lower = lower, Upper = upper, Notes = notes };
    }

    private static List<EngineWarning> Warnings(LifeSample sample, RiskSets sets)
    {
        var warnings = FitWarnings.WithoutModel(sample, bounded: true);
        if (sample.HasLateEntry)
            warnings.AddRange(EarlyRiskSets.Warnings(sample, sets.AtRisk));
        return warnings;
    }
}
