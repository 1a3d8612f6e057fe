using Google.Protobuf.WellKnownTypes;
using Reliability.Analysis;
using Reliability.History.Lives;
using Reliability.Service.Mapping;
using Reliability.Store.Records;

namespace Reliability.Service.Forecasts;

/// <summary>What is wanted of a prediction, of one module or of many.</summary>
/// <param name="Asked">The question; its instant is set when it is asked for now.</param>
/// <param name="AsOfTime">The instant to predict from; null for that of the record asked, else now.</param>
/// <param name="MinimumRevision">A revision that must be taken in first; empty for none.</param>
internal sealed record ForecastQuestion(PredictionQuestion Asked, DateTimeOffset? AsOfTime, string MinimumRevision)
{
    public static ForecastQuestion Of(V1.PredictFailureRequest request) => Of(
        request.AsOfTime, request.AsOfRecordTime, request.OutcomePolicy, request.MinimumRevision,
        new PredictionQuestion
        {
            AsOfTime = default,
            RiskLimit = request.HasRiskLimit ? request.RiskLimit : Defaults.RiskLimit,
            BeforeTime = request.BeforeTime?.ToDateTimeOffset(),
            LifeModel = request.LifeModel,
            ConfidenceLevel = request.HasConfidenceLevel ? request.ConfidenceLevel : Defaults.ConfidenceLevel,
            BoundsMethod = EstimateMapping.FromWire(request.BoundsMethod),
            AssumedHoursPerDay = request.HasAssumedHoursPerDay ? request.AssumedHoursPerDay : null,
            IncludeDatesBeyondRatedHours = request.IncludeDatesBeyondRatedHours,
            IncludeFlagged = request.IncludeFlagged,
        });

    public static ForecastQuestion Of(V1.PredictFailuresRequest request) => Of(
        request.AsOfTime, request.AsOfRecordTime, request.OutcomePolicy, request.MinimumRevision,
        new PredictionQuestion
        {
            AsOfTime = default,
            RiskLimit = request.HasRiskLimit ? request.RiskLimit : Defaults.RiskLimit,
            BeforeTime = request.BeforeTime?.ToDateTimeOffset(),
            LifeModel = request.LifeModel,
            ConfidenceLevel = request.HasConfidenceLevel ? request.ConfidenceLevel : Defaults.ConfidenceLevel,
            BoundsMethod = EstimateMapping.FromWire(request.BoundsMethod),
            AssumedHoursPerDay = request.HasAssumedHoursPerDay ? request.AssumedHoursPerDay : null,
            IncludeDatesBeyondRatedHours = request.IncludeDatesBeyondRatedHours,
            IncludeFlagged = request.IncludeFlagged,
        });

    /// <summary>The question as of an instant. Nothing that happened later than a stated instant is used.</summary>
    public PredictionQuestion At(DateTimeOffset now) => Asked with { AsOfTime = AsOfTime ?? Asked.AsOfRecordTime ?? now };

    /// <summary>The state of the record that is asked, and how lives are derived from it.</summary>
    public RecordView View => new() { Derivation = Asked.Derivation, AsOfRecordTime = Asked.AsOfRecordTime };

    private static ForecastQuestion Of(
        Timestamp? asOfTime, Timestamp? asOfRecordTime, V1.OutcomePolicy? policy, string minimumRevision,
        PredictionQuestion asked)
    {
        var asOf = asOfTime?.ToDateTimeOffset();
        var derivation = new DerivationOptions
        {
            DataCutoffTime = asOf,
            OutcomePolicy = PolicyMapping.FromWire(policy),
            UnknownRenewalRenews = policy is { HasUnknownRenewalRenews: true } ? policy.UnknownRenewalRenews : null,
        };
        return new(
            asked with { Derivation = derivation, AsOfRecordTime = asOfRecordTime?.ToDateTimeOffset() }, asOf, minimumRevision);
    }
}
