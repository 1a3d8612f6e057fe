using Reliability.Engine.Abstractions;
using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Prediction;

/// <summary>
/// Bayes prediction for log-location-scale lives under the right-Haar prior, 1/sigma in (location, sigma) with a location for each
/// sample that shares the shape, leaning by <see cref="PriorTilt"/>. For complete and failure-terminated samples the predictions are
/// exact in repeated use (Lawless 2003, ch. 5; the posterior there is the distribution of the pivotal quantities).
/// </summary>
internal static class LocationScalePredictor
{
    private const double Spacing = 0.25;

    /// <summary>Predicts with u held.</summary>
    /// <param name="likelihood">Likelihood of the sample.</param>
    /// <param name="sample">The sample.</param>
    /// <param name="u">The u held.</param>
    /// <param name="termination">How observation ended.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static Estimable<IPredictiveLife> PredictHolding(
        LogTimeLikelihood likelihood, LifeSample sample, double u, Termination termination, CancellationToken cancellationToken)
    {
        if (sample.RowCount == 0)
            return new NotEstimable(NotEstimableReasons.NoObservations, "There are no lives.");
        if (sample.FailureCount > 0 && Estimability.OfScale(sample) is { } reason)
            return reason;
        if (!TiltOf(likelihood, sample, u, termination, cancellationToken).TryGet(out var tilt, out var noTilt))
            return noTilt;
        return Predictive(LocationLayer.Of(likelihood, cancellationToken), [(u, 1)], tilt.Value, []);
    }

    /// <summary>Predicts with the shape as uncertain as the samples leave it.</summary>
    /// <param name="cohorts">The sample whose lives are predicted, then those that share its shape; each with its likelihood.</param>
    /// <param name="termination">How observation ended.</param>
    /// <param name="fixedTilt">The prior's lean; null for the rule of <see cref="PriorTilt.Of"/>.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static Estimable<IPredictiveLife> Predict(
        IReadOnlyList<(LogTimeLikelihood Likelihood, LifeSample Sample)> cohorts, Termination termination, PriorTilt? fixedTilt,
        CancellationToken cancellationToken)
    {
        if (Objection(cohorts) is { } objection)
            return objection;

        var layers = cohorts.Select(c => LocationLayer.Of(c.Likelihood, cancellationToken)).ToArray();
        var informative = layers.Where((_, i) => cohorts[i].Sample.FailureCount > 0).ToArray();
        var start = Start(cohorts, cancellationToken);
        double LogDensity(double logU, PriorTilt lean)
        {
            cancellationToken.ThrowIfCancellationRequested();
            var u = Math.Exp(logU);
            return (lean.Shape - informative.Length) * logU + informative.Sum(layer => layer.LogMass(u, lean.Watched));
        }

        var tilt = fixedTilt;
        if (tilt is null)
        {
            // The rule needs a fit; where samples share a shape that is the mean of its posterior without a lean.
            var shape = cohorts.Count == 1
                ? start.LogU
                : LogDensityGrid.Over(x => LogDensity(x, PriorTilt.None), start.LogU, start.Width, Spacing, mayGrow: true)?.Mean;
            if (shape is not { } logShape)
                return NoPeak();
            if (!TiltOf(cohorts[0].Likelihood, cohorts[0].Sample, Math.Exp(logShape), termination, cancellationToken).TryGet(out var found, out var noTilt))
                return noTilt;
            tilt = found.Value;
        }

        var grid = LogDensityGrid.Over(x => LogDensity(x, tilt.Value), start.LogU, start.Width, Spacing, mayGrow: true);
        if (grid is null)
            return NoPeak();
        return Predictive(
            layers[0], [.. grid.At.Zip(grid.Weights, (x, weight) => (Math.Exp(x), weight))], tilt.Value,
            PredictionWarnings.Of([.. cohorts.Select(c => c.Sample)]));
    }

    /// <summary>Why samples leave no proper posterior of the shape; null when nothing speaks against one.</summary>
    private static NotEstimable? Objection(IReadOnlyList<(LogTimeLikelihood Likelihood, LifeSample Sample)> cohorts)
    {
        if (cohorts[0].Sample.RowCount == 0)
            return new(NotEstimableReasons.NoObservations, "There are no lives.");
        var withFailures = cohorts.Select(c => c.Sample).Where(s => s.FailureCount > 0).ToList();
        if (withFailures.Sum(s => s.FailureCount) - withFailures.Count < 1)
        {
            return new(
                NotEstimableReasons.NoFailures,
                "A prediction needs two failures, or a shape that is held or shared with lives of which more failed.");
        }

        // One sample that bounds the shape from above is enough; each must say something of its own scale.
        NotEstimable? last = null;
        var isBounded = false;
        foreach (var sample in withFailures)
        {
            if (Estimability.OfScale(sample) is { } noScale)
                return noScale;
            if (Estimability.OfBothParameters(sample) is { } noShape)
                last = noShape;
            else
                isBounded = true;
        }

        return isBounded ? null : last;
    }

    private static Estimable<Boxed> TiltOf(
        LogTimeLikelihood likelihood, LifeSample sample, double u, Termination termination, CancellationToken cancellationToken)
    {
        double v = 0;
        if (sample.FailureCount > 0)
        {
            if (!Maximiser.MaximiseLocation(likelihood, u, cancellationToken).TryGet(out var maximum, out var reason))
                return reason;
            v = maximum.V;
        }

        return new Boxed(PriorTilt.Of(sample, likelihood.Sample.Axis, likelihood.Distribution, termination, u, v));
    }

    private static (double LogU, double Width) Start(
        IReadOnlyList<(LogTimeLikelihood Likelihood, LifeSample Sample)> cohorts, CancellationToken cancellationToken)
    {
        foreach (var (likelihood, sample) in cohorts)
        {
            if (Estimability.OfBothParameters(sample) is null
                && Maximiser.Maximise(likelihood, cancellationToken).TryGet(out var maximum, out _))
                return (Math.Log(maximum.U), Math.Clamp(Math.Sqrt(maximum.CovarianceUU) / maximum.U, 1e-6, 1));
        }

        return (0, 1);
    }

    private static Estimable<IPredictiveLife> Predictive(
        LocationLayer layer, IReadOnlyList<(double U, double Weight)> nodes, PriorTilt tilt, IReadOnlyList<EngineWarning> warnings) =>
        layer.Predict(nodes, tilt) is { } life
            ? Estimable<IPredictiveLife>.Of(life.With(warnings))
            : new NotEstimable(NotEstimableReasons.NoConvergence, "The uncertainty of the parameters could not be integrated over for these lives.");

    private static NotEstimable NoPeak() => new(
        NotEstimableReasons.NoConvergence, "The lives leave the shape so open that no prediction with its uncertainty can be made.");

    private sealed record Boxed(PriorTilt Value);
}
