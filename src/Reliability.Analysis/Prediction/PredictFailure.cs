using Reliability.Engine.Abstractions;
using Reliability.History.Catalogue;
using Reliability.History.Lives;

namespace Reliability.Analysis;

/// <summary>
/// Predicts remaining life and dates of modules in service. Made once a request: modules of one kind share their fit, so a
/// fleet costs one fit a kind and little more a module. Not for several threads at once.
/// </summary>
public sealed class PredictFailure
{
    private readonly ModuleCatalogue _moduleModels;
    private readonly PredictionQuestion _question;
    private readonly CohortFits _fits;

    /// <summary>Checks the question and takes the lives in.</summary>
    /// <param name="catalog">The life models on offer.</param>
    /// <param name="moduleModels">The module models known.</param>
    /// <param name="lives">All lives of the modules' models, of every condition and refurbisher: widening chooses among them.</param>
    /// <param name="question">What is wanted.</param>
    /// <exception cref="RequestRefusedException">The question can never be answered; names the field and the rule.</exception>
    public PredictFailure(
        ILifeModelCatalog catalog, ModuleCatalogue moduleModels, IEnumerable<Life> lives, PredictionQuestion question)
    {
        ArgumentNullException.ThrowIfNull(catalog);
        ArgumentNullException.ThrowIfNull(moduleModels);
        ArgumentNullException.ThrowIfNull(lives);
        ArgumentNullException.ThrowIfNull(question);
        question.Check();
        _moduleModels = moduleModels;
        _question = question;
        _fits = new(catalog, lives, question);
    }

    /// <summary>Predicts one module.</summary>
    /// <param name="module">The module as derived from its record, as of the question's instant.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>The prediction, or why there is none (a code of <see cref="NotPredictedReasons"/>).</returns>
    /// <exception cref="OperationCanceledException">The token was cancelled.</exception>
    public Estimable<Prediction> Answer(DerivedModule module, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(module);
        if (Objection(module) is { } objection)
            return objection;

        var (modelId, condition, age) = (module.ModelId!, module.Condition!, module.Age!.Value);
        var version = _moduleModels.Find(modelId)?.InForceAt(_question.AsOfTime);
        var ratedHours = version?.RatedLifeFor(condition)?.RatedHours;
        var basis = _fits.For(modelId, condition, cancellationToken);
        if (basis.Fit is null && ratedHours is null)
        {
            return new NotEstimable(NotPredictedReasons.NoBasis,
                $"The module model has no rated hours on record, and lives like this one have too few failures. {basis.Text}");
        }

        var usage = UsageOf(module);
        return new Forecast(_question, module, basis, usage, ratedHours, cancellationToken).Predict(HandlingCautions.For(version));
    }

    private UsageRate UsageOf(DerivedModule module)
    {
        if (_question.AssumedHoursPerDay is { } assumed)
            return UsageRate.Stated(UsageBasis.Assumed, assumed);
        return MeasuredUsage.Estimate(module.Usage, _question.ConfidenceLevel)
            ?? (module.ExpectedHoursPerDay is { } expected ? UsageRate.Stated(UsageBasis.Expected, Math.Clamp(expected, 0, 24)) : null)
            ?? _fits.Usage(module.ModelId!, module.Condition!)
            ?? UsageRate.Unknown;
    }

    private static NotEstimable? Objection(DerivedModule module) => module switch
    {
        { State: ModuleState.Unregistered } =>
            new(NotPredictedReasons.Unregistered, "The module is not registered: its model and condition are not known."),
        { State: ModuleState.Retired } => new(NotPredictedReasons.Retired, "The module is out of use for good."),
        { State: ModuleState.FailedInPlace } => new(NotPredictedReasons.Failed, "The module has failed and is still fitted."),
        { State: not ModuleState.InService } => new(NotPredictedReasons.NotInService, "The module is not fitted in a host device."),
        { ModelId: null } or { Condition: null } =>
            new(NotPredictedReasons.UnknownModel, "The module's model or condition is not on record."),
        { Age: null } or { Age.UpperHours: null } =>
            new(NotPredictedReasons.UnknownAge, "The module's run-hours in its current life are not known."),
        _ => null,
    };
}
