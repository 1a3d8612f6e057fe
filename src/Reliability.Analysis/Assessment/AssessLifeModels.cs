using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>
/// Fits several life models to the same lives and puts the evidence side by side: log-likelihoods, information criteria,
/// tests against wider models, and on request a test of each fit by simulation. Safe to use from many threads.
/// </summary>
/// <param name="catalog">The life models on offer.</param>
public sealed class AssessLifeModels(ILifeModelCatalog catalog)
{
    /// <summary>Most life models of one question.</summary>
    public const int GreatestModelCount = 20;

    /// <summary>Most simulated samples of one question.</summary>
    public const int GreatestReplicates = 5000;

    /// <summary>Fewest simulated samples of a test: with fewer no p-value could be as small as 0.05.</summary>
    public const int FewestReplicates = 19;

    // Below this difference of a criterion models are about as good as each other (Burnham and Anderson 2002, 2.6).
    private const double SlightDifference = 2;

    /// <summary>Assesses the models.</summary>
    /// <param name="lives">The sample.</param>
    /// <param name="question">What is wanted.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>The assessment; a model without a fit leaves its reason in it.</returns>
    /// <exception cref="RequestRefusedException">The question can never be answered; names the field and the rule.</exception>
    /// <exception cref="OperationCanceledException">The token was cancelled.</exception>
    public AssessmentAnswer Answer(
        CohortSample lives, AssessmentQuestion question, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(lives);
        ArgumentNullException.ThrowIfNull(question);
        FitLives.Check(question.OfEach);
        Refuse.UnlessAtMost(question.LifeModels.Count, GreatestModelCount, "life_models");
        CheckReplicates(question.Replicates, "replicates");
        var models = Models(question.LifeModels);
        var sample = lives.Sample;
        var assessments = models.ConvertAll(m => Each(m, lives, question, cancellationToken));
        var answers = assessments.ConvertAll(a => a.Answer);
        // The likelihood of ages and modes is another one than that of ages alone.
        var criteria = answers.ConvertAll(a =>
            a.TryGet(out var fit, out _) && !fit.Model.Capabilities.FitsFailureModes ? fit.GoodnessOfFit : null);
        var leastAicc = criteria.Min(c => c?.Aicc);
        var leastBic = criteria.Min(c => c?.Bic);
        List<ModelAssessment> assessed =
        [
            .. models.Select((model, i) => new ModelAssessment(
                model.Description.Id,
                answers[i],
                answers[i].TryGet(out var answer, out _) ? answer.Parameters.Count : model.Description.Parameters.Count,
                criteria[i]?.Aicc - leastAicc,
                criteria[i]?.Bic - leastBic,
                assessments[i].Test)),
        ];
        var (best, verdict) = Verdict(assessed);
        var notes = new NoteCollector([.. assessed.Select(Caution).OfType<EngineWarning>()]);
        if (assessed.FindAll(m => m.AiccDifference is not null && IsIrregular(m)) is { Count: > 0 } irregular)
        {
            notes.Warn(WarningCodes.IrregularLikelihood,
                $"{string.Join(", ", irregular.Select(m => m.LifeModel))}: the usual theory of maximum likelihood does not hold for this fit (Smith 1985), and "
                + "with it neither what information criteria rest on nor chi-square tests against it: rank and p-values are rough guides.");
        }

        if (sample.FailureCount is > 0 and < 10)
        {
            notes.Warn(WarningCodes.FewFailures,
                "Fewer than ten failures hardly tell life models apart; choose by what is known of how such modules fail.");
        }

        var unranked = assessed.FindAll(m =>
            m.AiccDifference is null && m.Fit.TryGet(out var fit, out _) && fit.LogLikelihood is not null && !fit.Model.Capabilities.FitsFailureModes);
        if (unranked.Count > 0)
        {
            notes.Warn(AnalysisWarningCodes.NotRanked,
                $"{string.Join(", ", unranked.Select(m => m.LifeModel))}: not ranked, because the corrected Akaike criterion needs more failures than "
                + "one above the number of parameters.");
        }

        if (answers.Any(a => a.TryGet(out var fit, out _) && fit.Model.Capabilities.FitsFailureModes))
        {
            notes.Warn(AnalysisWarningCodes.ModesNotRanked,
                "Life models that fit failure modes are not ranked among the others: their likelihood is of ages and modes.");
        }

        return new(assessed, Tests(models, answers), best, verdict, notes.Collected());
    }

    /// <summary>Refuses numbers of simulated samples that no test can be made of: p is (1 + as far or farther)/(1 + samples).</summary>
    internal static void CheckReplicates(int replicates, string field)
    {
        Refuse.UnlessAtMost(replicates, GreatestReplicates, field);
        if (replicates is not 0 and < FewestReplicates)
        {
            throw new RequestRefusedException(
                RefusalReasons.OutOfRange, field,
                $"must be 0 for no test or {FewestReplicates} and more: with fewer no p-value could be as small as 0.05; got {replicates}");
        }
    }

    /// <summary>One model's answer and the test of its fit. A plugged-in model that breaks its contract has that for a reason, and one of all the
    /// models on offer that cannot do what is asked of each; the others have their answers.</summary>
    private (Estimable<FitAnswer> Answer, Estimable<FitTest>? Test) Each(
        ILifeModel model, CohortSample lives, AssessmentQuestion question, CancellationToken cancellationToken)
    {
        var sample = lives.Sample;
        try
        {
            if (!FitLives.Fit(model, sample, question.OfEach, cancellationToken).TryGet(out var fit, out var reason))
                return (NoLives.Explained(reason, lives.Summary), null);
            return (
                FitLives.Describe(fit, sample, catalog.Nonparametric, question.OfEach, cancellationToken),
                question.Replicates > 0
                    ? BootstrapFitTest.Of(model, fit, sample, catalog.Nonparametric, question.Replicates, question.OfEach.Seed, cancellationToken)
                    : null);
        }
        catch (LifeModelFailedException failure)
        {
            return (PlugInFailures.ToReason(failure), null);
        }
        catch (RequestRefusedException refusal) when (question.LifeModels.Count == 0 && refusal.Reason == RefusalReasons.UnsupportedOption
            && model != catalog.Default)
        {
            return (new NotEstimable(RefusalReasons.UnsupportedOption, $"{refusal.Field}: {refusal.Rule}."), null);
        }
    }

    private List<ILifeModel> Models(IReadOnlyList<string> ids)
    {
        if (ids.Count == 0)
            return [.. catalog.Models];
        var models = new List<ILifeModel>();
        for (var i = 0; i < ids.Count; i++)
        {
            if (!catalog.TryGet(ids[i], out var model))
            {
                throw new RequestRefusedException(
                    RefusalReasons.UnknownLifeModel, $"life_models[{i}]",
                    $"must be one of {string.Join(", ", catalog.Models.Select(m => m.Description.Id))}");
            }

            if (models.Contains(model))
                throw new RequestRefusedException(RefusalReasons.OutOfRange, $"life_models[{i}]", "must not be named twice");
            models.Add(model);
        }

        return models;
    }

    private static EngineWarning? Caution(ModelAssessment model) =>
        model.FitTest is { } estimable && estimable.TryGet(out var test, out _) ? test.Caution(model.LifeModel) : null;

    private static bool IsIrregular(ModelAssessment model) =>
        model.Fit.TryGet(out var fit, out _) && fit.Warnings.Any(w => w.Code == WarningCodes.IrregularLikelihood);

    /// <summary>Each model against each wider one that was also fitted (Lawless 2003, ch. 10, from memory).</summary>
    private static List<NestedModelTest> Tests(List<ILifeModel> models, List<Estimable<FitAnswer>> answers)
    {
        var tests = new List<NestedModelTest>();
        for (var i = 0; i < models.Count; i++)
        {
            var family = models[i].Family;
            foreach (var (wider, atBorder) in (family?.SpecialCaseOf ?? []).Select(id => (id, false)).Concat((family?.BorderCaseOf ?? []).Select(id => (id, true))))
            {
                var j = models.FindIndex(m => m.Description.Id == wider);
                if (j < 0)
                    continue;
                var degrees = models[j].Description.Parameters.Count - models[i].Description.Parameters.Count;
                double? narrowValue = answers[i].TryGet(out var narrow, out var narrowReason) ? narrow.LogLikelihood : null;
                double? wideValue = answers[j].TryGet(out var wide, out var wideReason) ? wide.LogLikelihood : null;
                double? statistic = narrowValue is { } n && wideValue is { } w ? Math.Max(0, 2 * (w - n)) : null;
                tests.Add(new(
                    models[i].Description.Id, wider, statistic, degrees,
                    statistic is { } s ? Chance(s, degrees, atBorder) : null,
                    statistic is null
                        ? narrowReason ?? wideReason ?? new(NotEstimableReasons.NoFailures, "There is no likelihood without failures.")
                        : null,
                    atBorder));
            }
        }

        return tests;
    }

    private static double Chance(double statistic, int degrees, bool atBorder)
    {
        var tail = ChiSquareTail.Of(degrees, statistic);
        if (!atBorder)
            return tail;
        var lesser = degrees > 1 ? ChiSquareTail.Of(degrees - 1, statistic) : statistic > 0 ? 0 : 1;
        return (tail + lesser) / 2;
    }

    private static (string? Best, string Text) Verdict(List<ModelAssessment> models)
    {
        var ranked = models.Where(m => m.AiccDifference is not null).OrderBy(m => m.AiccDifference).ToList();
        if (ranked.Count == 0)
            return (null, "No model can be compared: none has a fit, or the failures are too few for the corrected criterion.");
        if (ranked.Count == 1)
            return (null, $"Only {ranked[0].LifeModel} has a corrected criterion; the others have no fit or too few failures for it. Nothing is said of whether it fits.");
        var close = ranked.Where(m => m.AiccDifference < SlightDifference).ToList();
        if (close.Count > 1)
        {
            return (null,
                $"These lives cannot tell {string.Join(", ", close.Select(m => m.LifeModel))} apart: their corrected Akaike criteria differ by "
                + "less than 2. Choose by what is known of how such modules fail, and compare what they say beyond the data.");
        }

        return (ranked[0].LifeModel,
            $"{ranked[0].LifeModel} describes these lives best, by {Words.Number(ranked[1].AiccDifference!.Value)} in the corrected Akaike "
            + $"criterion before {ranked[1].LifeModel}. That ranks the models asked; it does not say that the first one fits."
            + (ranked.Take(2).Any(IsIrregular) ? " The criterion is a rough guide here: see the warnings." : ""));
    }
}
