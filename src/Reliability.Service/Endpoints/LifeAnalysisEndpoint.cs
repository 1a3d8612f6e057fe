using Grpc.Core;
using Reliability.Analysis;
using Reliability.Engine.Abstractions;
using Reliability.Service.Errors;
using Reliability.Service.Lives;
using Reliability.Service.Mapping;
using Reliability.Service.Paging;
using Reliability.Service.PlugIns;
using Reliability.Service.Validation;
using Reliability.Service.Work;

namespace Reliability.Service.Endpoints;

/// <summary>LifeAnalysisService: check, gather lives, ask, answer.</summary>
internal sealed class LifeAnalysisEndpoint(
    RequestCheck requestCheck,
    LifeSource lifeSource,
    LifeModels catalog,
    FitLives fitLives,
    AssessLifeModels assessLifeModels,
    EstimateSurvival estimateSurvival,
    EstimateReplacements estimateReplacements,
    CompareCohorts compareCohorts,
    AnalysisLanes lanes) : V1.LifeAnalysisService.LifeAnalysisServiceBase
{
    public override Task<V1.ListLifeModelsResponse> ListLifeModels(
        V1.ListLifeModelsRequest request, ServerCallContext context)
    {
        requestCheck.Enforce(request);
        var page = ListPage.Of(
            catalog.Models.OrderByDescending(model => ReferenceEquals(model, catalog.Default)).ToList(),
            request, request.PageSize, request.PageToken);
        var response = new V1.ListLifeModelsResponse { NextPageToken = page.NextToken };
        response.LifeModels.AddRange(page.Items.Select(model =>
            LifeModelMapping.ToWire(model.Description, ReferenceEquals(model, catalog.Default))));
        response.RefusedPlugIns.AddRange(catalog.NotAvailable.Select(refused => new V1.RefusedPlugIn { Place = refused.Place, Reason = refused.Reason }));
        return Task.FromResult(response);
    }

    public override async Task<V1.FitLivesResponse> FitLives(V1.FitLivesRequest request, ServerCallContext context)
    {
        var violations = requestCheck.Check(request);
        var asked = LifeSource.Ask(request.Cohort, request.Sample, string.Empty, violations);
        violations.ThrowIfAny();
        var lives = await lifeSource.FindAsync(asked, request.MinimumRevision, context.CancellationToken);
        var fit = await lives.AnswerAsync(FitMapping.WithoutLives(request, catalog), async () => FitMapping.ToWire(Estimated(await lanes.RunAsync(
            "fit", lives.Sample.Sample.RowCount, [request.LifeModel],
            cancellation => fitLives.Answer(lives.Sample, FitMapping.Question(request), cancellation),
            context.CancellationToken))));
        return new V1.FitLivesResponse
        {
            Fit = fit,
            SampleSummary = SampleSummaryMapping.ToWire(lives.Sample.Summary),
            Revision = lives.Revision,
        };
    }

    public override async Task<V1.AssessLifeModelsResponse> AssessLifeModels(
        V1.AssessLifeModelsRequest request, ServerCallContext context)
    {
        var violations = requestCheck.Check(request);
        var asked = LifeSource.Ask(request.Cohort, request.Sample, string.Empty, violations);
        violations.ThrowIfAny();
        var lives = await lifeSource.FindAsync(asked, request.MinimumRevision, context.CancellationToken);
        var answer = await lanes.RunAsync(
            "assess", lives.Sample.Sample.RowCount, request.LifeModels,
            cancellation => assessLifeModels.Answer(lives.Sample, AssessmentMapping.Question(request), cancellation),
            context.CancellationToken);
        return AssessmentMapping.ToWire(answer, lives.Sample.Summary, lives.Revision);
    }

    public override async Task<V1.EstimateSurvivalResponse> EstimateSurvival(
        V1.EstimateSurvivalRequest request, ServerCallContext context)
    {
        var violations = requestCheck.Check(request);
        var asked = LifeSource.Ask(request.Cohort, request.Sample, string.Empty, violations);
        violations.ThrowIfAny();
        var lives = await lifeSource.FindAsync(asked, request.MinimumRevision, context.CancellationToken);
        var question = SurvivalMapping.Question(request);
        var answer = await lanes.RunAsync(
            "survival", lives.Sample.Sample.RowCount,
            cancellation => estimateSurvival.Answer(lives.Sample, question, cancellation), context.CancellationToken);
        return SurvivalMapping.ToWire(Estimated(answer), lives.Sample.Summary, lives.Revision);
    }

    public override async Task<V1.EstimateReplacementsResponse> EstimateReplacements(
        V1.EstimateReplacementsRequest request, ServerCallContext context)
    {
        var violations = requestCheck.Check(request);
        var positions = PositionCheck.Read(request.Positions, violations);
        violations.ThrowIfAny();
        var answer = await lanes.RunAsync(
            "replacements", positions.Count + positions.Sum(p => p.ReplacementHours.Length),
            cancellation => estimateReplacements.Answer(positions, ReplacementMapping.ConfidenceLevel(request), cancellation),
            context.CancellationToken);
        return ReplacementMapping.ToWire(Estimated(answer));
    }

    public override async Task<V1.CompareCohortsResponse> CompareCohorts(
        V1.CompareCohortsRequest request, ServerCallContext context)
    {
        var violations = requestCheck.Check(request);
        var asked = request.Groups
            .Select((group, i) => LifeSource.Ask(group.Cohort, group.Sample, $"groups[{i}].", violations)).ToList();
        violations.ThrowIfAny();
        var groups = new List<ComparisonGroup>();
        var revision = string.Empty;
        for (var i = 0; i < asked.Count; i++)
        {
            var lives = await lifeSource.FindAsync(asked[i], request.MinimumRevision, context.CancellationToken);
            groups.Add(new ComparisonGroup(request.Groups[i].Name, lives.Sample));
            if (lives.Revision.Length > 0)
                revision = lives.Revision;
        }

        // One cohort without lives leaves the fit of the other; without any there is nothing to tell.
        if (groups.TrueForAll(group => group.Lives.Sample.RowCount == 0))
            throw Refusals.NotEstimable(NotEstimableReasons.NoObservations, NoLives.OfAll(groups));

        var answer = await lanes.RunAsync(
            "compare", groups.Sum(group => group.Lives.Sample.RowCount), [request.LifeModel],
            cancellation => compareCohorts.Answer(groups, ComparisonMapping.Question(request), cancellation),
            context.CancellationToken);
        return ComparisonMapping.ToWire(answer, revision);
    }

    private static T Estimated<T>(Estimable<T> answer)
        where T : class =>
        answer.TryGet(out var value, out var reason) ? value : throw Refusals.NotEstimable(reason.Reason, reason.Text);
}
