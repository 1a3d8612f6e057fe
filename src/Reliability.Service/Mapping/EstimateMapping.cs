using Reliability.Engine.Abstractions;

namespace Reliability.Service.Mapping;

/// <summary>Estimates and warnings. What does not exist is absent on the wire.</summary>
internal static class EstimateMapping
{
    public static V1.Estimate ToWire(BoundedEstimate estimate)
    {
        // Of a number that does not exist no side is bounded.
        var wire = new V1.Estimate
        {
            BoundSide = estimate is { Value: null, Lower: null, Upper: null } ? V1.BoundSide.Unspecified : ToWire(estimate.Side),
        };
        if (estimate.Value is { } value)
            wire.Value = value;
        if (estimate.Lower is { } lower)
            wire.Lower = lower;
        if (estimate.Upper is { } upper)
            wire.Upper = upper;
        if (estimate.StandardError is { } error)
            wire.StandardError = error;
        return wire;
    }

    public static IEnumerable<V1.Warning> ToWire(IEnumerable<EngineWarning> warnings) =>
        warnings.Select(warning => new V1.Warning { Code = warning.Code, Text = warning.Text });

    public static V1.NotEstimable ToWire(NotEstimable reason) => new() { Reason = reason.Reason, Text = reason.Text };

    public static V1.BoundsMethod ToWire(BoundsMethod method) => method switch
    {
        BoundsMethod.LikelihoodRatio => V1.BoundsMethod.LikelihoodRatio,
        BoundsMethod.NormalApproximation => V1.BoundsMethod.NormalApproximation,
        BoundsMethod.Calibrated => V1.BoundsMethod.Calibrated,
        BoundsMethod.Bootstrap => V1.BoundsMethod.Bootstrap,
        BoundsMethod.Exact => V1.BoundsMethod.Exact,
        _ => V1.BoundsMethod.Unspecified,
    };

    /// <summary>The method asked for; null leaves the choice to the life model.</summary>
    public static BoundsMethod? FromWire(V1.BoundsMethod method) => method switch
    {
        V1.BoundsMethod.LikelihoodRatio => BoundsMethod.LikelihoodRatio,
        V1.BoundsMethod.NormalApproximation => BoundsMethod.NormalApproximation,
        V1.BoundsMethod.Calibrated => BoundsMethod.Calibrated,
        V1.BoundsMethod.Bootstrap => BoundsMethod.Bootstrap,
        V1.BoundsMethod.Exact => BoundsMethod.Exact,
        _ => null,
    };

    private static V1.BoundSide ToWire(BoundSide side) => side switch
    {
        BoundSide.Both => V1.BoundSide.Both,
        BoundSide.Lower => V1.BoundSide.Lower,
        BoundSide.Upper => V1.BoundSide.Upper,
        _ => V1.BoundSide.Unspecified,
    };
}
