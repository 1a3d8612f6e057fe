using Reliability.Engine.Abstractions;
using Reliability.Engine.Bounds;
using Reliability.Engine.Fitting;
using Reliability.Engine.LocationScale;
using Reliability.Engine.Quantities;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Comparison;

/// <summary>Cohorts compared under one log-location-scale family.</summary>
internal static class LocationScaleComparison
{
    private static readonly (string Name, LifeQuantity Quantity)[] Compared =
    [
        (CohortEffectNames.B10Ratio, LifeQuantities.Percentile(0.1)),
        (CohortEffectNames.MedianRatio, LifeQuantities.Percentile(0.5)),
        (CohortEffectNames.MeanRatio, LifeQuantities.Mean),
    ];

    public static CohortComparison Compare<T>(
        LocationScaleModel<T> model, Func<LifeSample, LogTimeLikelihood> likelihoodOf, IReadOnlyList<LifeSample> cohorts,
        FitOptions options, CancellationToken cancellationToken)
        where T : struct, IStandardDistribution
    {
        if (options.BoundsMethod is not (BoundsMethod.LikelihoodRatio or BoundsMethod.NormalApproximation or BoundsMethod.Calibrated))
        {
            throw new UnsupportedRequestException(
                "bounds_method", $"{options.BoundsMethod} bounds are not available for a comparison of cohorts.");
        }

        var all = LifeSample.Concat(cohorts);
        var separate = cohorts.Select(c => CohortFit.Of(model, likelihoodOf, c, cancellationToken)).ToArray();
        var common = CohortFit.Of(model, likelihoodOf, all, cancellationToken);
        return new CohortComparison(
            [.. cohorts.Select(c => model.Fit(c, options, cancellationToken))],
            model.Fit(all, options, cancellationToken),
            Tests(model.ConstantU, separate, common, cancellationToken),
            Effects(separate, options, cancellationToken),
            []);
    }

    /// <summary>Twice the log-likelihood gained, referred to chi-square (Lawless 2003, ch. 5; Meeker and Escobar 1998, ch. 8; chapters from memory).</summary>
    private static CohortTest[] Tests(
        double? constantU, CohortFit[] separate, CohortFit common, CancellationToken cancellationToken)
    {
        var degrees = separate.Length - 1;
        var (separateValue, separateReason) = Sum(separate);
        var (commonValue, commonReason) = (common.Maximum?.Value, common.Reason);
        if (constantU is not null)
        {
            return
            [
                Test(CohortTestNames.EqualScaleGivenShape, separateValue, commonValue, degrees, separateReason ?? commonReason),
                Test(CohortTestNames.EqualLife, separateValue, commonValue, degrees, separateReason ?? commonReason),
            ];
        }

        var (shapeValue, shapeReason) = WithCommonShape(separate, cancellationToken);
        return
        [
            Test(CohortTestNames.EqualShape, separateValue, shapeValue, degrees, separateReason ?? shapeReason),
            Test(CohortTestNames.EqualScaleGivenShape, shapeValue, commonValue, degrees, shapeReason ?? commonReason),
            Test(CohortTestNames.EqualLife, separateValue, commonValue, 2 * degrees, separateReason ?? commonReason),
        ];
    }

    private static (double? Value, NotEstimable? Reason) Sum(CohortFit[] separate)
    {
        double sum = 0;
        foreach (var fit in separate)
        {
            if (fit.Maximum is null)
                return (null, CohortReason(fit.Reason));
            sum += fit.Maximum.Value;
        }

        return (sum, null);
    }

    private static (double? Value, NotEstimable? Reason) WithCommonShape(
        CohortFit[] separate, CancellationToken cancellationToken)
    {
        var estimable = separate.Where(f => f.Maximum is not null).ToArray();
        if (estimable.Length == 0)
            return (null, CohortReason(separate[0].Reason));
        foreach (var fit in separate)
        {
            if (Estimability.OfScale(fit.Sample) is { } reason)
                return (null, CohortReason(reason));
        }

        var start = Math.Exp(estimable.Average(f => Math.Log(f.Maximum!.U)));
        return CommonShape.Maximise([.. separate.Select(f => f.Likelihood!)], start, cancellationToken);
    }

    private static CohortTest Test(string name, double? wide, double? narrow, int degrees, NotEstimable? reason)
    {
        if (wide is not { } free || narrow is not { } held)
            return new CohortTest(name, null, degrees, null, reason);
        var statistic = Math.Max(0, 2 * (free - held));
        return new CohortTest(name, statistic, degrees, ReferenceDistributions.ChiSquareUpperTail(degrees, statistic));
    }

    private static NotEstimable CohortReason(NotEstimable? reason) => new(
        NotEstimableReasons.CohortNotEstimable,
        "A cohort could not be fitted, so the comparison cannot be made. " + reason?.Text);

    private static List<CohortEffect> Effects(
        CohortFit[] separate, FitOptions options, CancellationToken cancellationToken)
    {
        var effects = new List<CohortEffect>();
        var reference = separate[0];
        for (var i = 1; i < separate.Length; i++)
        {
            foreach (var (name, quantity) in Compared)
                effects.Add(new CohortEffect(name, i, 0, Ratio(separate[i], reference, quantity, options, cancellationToken)));
        }

        return effects;
    }

    private static BoundedEstimate Ratio(
        CohortFit numerator, CohortFit denominator, LifeQuantity quantity, FitOptions options,
        CancellationToken cancellationToken)
    {
        if (numerator.Space is not { } upper || denominator.Space is not { } lower)
        {
            var reason = CohortReason(numerator.Reason ?? denominator.Reason);
            return new BoundedEstimate { Notes = [new EngineWarning(WarningCodes.NoValue, reason.Text)] };
        }

        var logRatio = quantity.Transformed(upper.LifeAt(0, 0)) - quantity.Transformed(lower.LifeAt(0, 0));
        var (upperError, lowerError) = (upper.StandardError(quantity), lower.StandardError(quantity));
        var error = Math.Sqrt(upperError * upperError + lowerError * lowerError);
        var builder = new EstimateBuilder(quantity.Scale, BoundSide.Both);
        builder.Value(logRatio, error);
        if (options.BoundsMethod == BoundsMethod.NormalApproximation)
        {
            var half = ReferenceDistributions.TwoSidedNormal(options.ConfidenceLevel) * error;
            builder.Bounds((logRatio - half, logRatio + half));
        }
        else
        {
            var bounds = new RatioBounds(
                new LikelihoodRegion(numerator.Likelihood!, upper), new LikelihoodRegion(denominator.Likelihood!, lower),
                options.ConfidenceLevel);
            var share = upperError * upperError / (error * error);
            builder.Bounds(options.BoundsMethod == BoundsMethod.Calibrated
                ? new CalibratedRatio(numerator, denominator, options).Of(
                    quantity, () => bounds.Of(quantity, share, cancellationToken), cancellationToken)
                : bounds.Of(quantity, share, cancellationToken));
        }

        return builder.Build();
    }
}
