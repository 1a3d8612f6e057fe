using System.Globalization;
using Reliability.Engine.Abstractions;
using Reliability.Engine.Bounds;
using Reliability.Engine.Bounds.Calibrated;
using Reliability.Engine.LocationScale;
using Reliability.Engine.Quantities;

namespace Reliability.Engine.Resampling;

/// <summary>Bounds by <see cref="SignedRootBootstrap"/> where r* gives none, and by what is left where that gives none either.</summary>
internal sealed class SignedRootInstead(
    LogTimeLikelihood likelihood, ParameterSpace space, LifeSample sample, ObservationPlan observation, FitOptions options,
    IBoundInstead otherwise) : IBoundInstead
{
    private const int Replicates = 1999, FewerReplicates = 999;

    // Work is limited rather than time: the same sample has the same bounds on a slow machine.
    private const double ManyLives = 500, MostLives = 1000;

    private readonly Lazy<ReplicatePlan?> _plan = new(
        () => sample.TotalCount > MostLives ? null : ReplicatePlan.Of(sample, likelihood.Sample.Axis, observation));

    public (double? Bound, EngineWarning? Note) Bound(LifeQuantity quantity, int side, CancellationToken cancellationToken)
    {
        var replicates = sample.TotalCount > ManyLives ? FewerReplicates : Replicates;
        var share = (1 - options.ConfidenceLevel) / 2;

        // A share of less than five samples is no share.
        if (share * replicates < 5 || !double.IsFinite(space.StandardError(quantity)) || _plan.Value is not { } plan
            || new SignedRootBootstrap(likelihood, space, plan, replicates, options.Seed).Bound(quantity, side, share, cancellationToken)
                is not var (bound, roots))
            return otherwise.Bound(quantity, side, cancellationToken);
        var isLower = side < 0 != quantity.Scale.IsReversed();
        var without = roots.WithoutMaximum == 0
            ? ""
            : string.Create(CultureInfo.InvariantCulture, $", {roots.WithoutMaximum:N0} of them without an estimate, counted where theirs runs to");
        return (bound, new EngineWarning(
            WarningCodes.BoundsByBootstrap,
            string.Create(
                CultureInfo.InvariantCulture,
                $"The {(isLower ? "lower" : "upper")} bound is by simulating the likelihood's signed root at the bound itself "
                + $"({replicates:N0} samples, seed {options.Seed}{without}), because r* gives none here.")));
    }
}
