using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;
using static Reliability.EndToEnd.Records.Posting;

namespace Reliability.EndToEnd.Records;

/// <summary>Fits of lives on record are remembered while the lives are the same, and never longer.</summary>
public sealed class RememberedFitTests(SharedService shared)
{
    private const string Model = "remembered";

    private static CancellationToken Token => TestContext.Current.CancellationToken;

    [Fact]
    public async Task An_answer_follows_every_change_of_the_lives_it_rests_on()
    {
        await ModelAsync(shared.Clients, Model, 20_000);
        var posting = new Posting(shared.Clients, Model);
        var revision = (await posting.ReceiptsAsync(Enumerable.Range(1, 12).Select(n => Row(posting, n, 100 * n))))[^1].Revision;

        var first = await FitAsync(revision);
        var again = await FitAsync(string.Empty);
        Assert.Equal(first.Fit, again.Fit);
        Assert.Equal(12, again.SampleSummary.LifeCount);

        // Another question of the same lives has an answer of its own.
        var narrower = await FitAsync(string.Empty, request => request.ConfidenceLevel = 0.8);
        Assert.Equal(0.8, narrower.Fit.ConfidenceLevel);
        Assert.NotEqual(first.Fit.MeanLife, narrower.Fit.MeanLife);
        Assert.Equal(first.Fit, (await FitAsync(string.Empty)).Fit);

        // One more life, seen at its own revision.
        var more = (await posting.ReceiptsAsync(Row(posting, 13, 1_300)))[0];
        var grown = await FitAsync(more.Revision);
        Assert.Equal(13, grown.SampleSummary.LifeCount);
        Assert.True(grown.Fit.MeanLife.Value > first.Fit.MeanLife.Value);
        Assert.Equal(grown.Fit, (await FitAsync(string.Empty)).Fit);

        // Taken out again: the first answer, to the last digit.
        var retracted = (await posting.ReceiptsAsync(posting.Event("retracts-13", Module(13), Time(2026, 3, 1), e => e.Retracted = new()
        {
            TargetSource = Model,
            TargetEventId = "row-13",
        })))[0];
        Assert.Equal(first.Fit, (await FitAsync(retracted.Revision)).Fit);
    }

    [Fact]
    public async Task A_name_that_comes_to_mean_another_finds_the_others_lives_at_once()
    {
        const string Site = "Remembered General", Spelling = "remembered gen.";
        await ModelAsync(shared.Clients, Model + "-named", 20_000);
        var posting = new Posting(shared.Clients, Model + "-named");
        var revision = (await posting.ReceiptsAsync(Enumerable.Range(1, 8).Select(n => Row(posting, n, 100 * n, Site, "-named"))))[^1].Revision;
        var request = new EstimateSurvivalRequest
        {
            Cohort = new Cohort { Sites = { Site } },
            MinimumRevision = revision,
        };
        var expected = await shared.Clients.Analysis.EstimateSurvivalAsync(request, cancellationToken: Token);
        request.Cohort.Sites[0] = Spelling;
        await Assert.ThrowsAnyAsync<Grpc.Core.RpcException>(
            async () => await shared.Clients.Analysis.EstimateSurvivalAsync(request, cancellationToken: Token));

        await shared.Clients.History.CreateAliasAsync(
            new CreateAliasRequest { Alias = new Alias { Kind = AliasKind.Site, Alternate = Spelling, Primary = Site } },
            cancellationToken: Token);

        request.MinimumRevision = string.Empty;
        var found = await shared.Clients.Analysis.EstimateSurvivalAsync(request, cancellationToken: Token);
        Assert.Equal(expected.SampleSummary.LifeCount, found.SampleSummary.LifeCount);
    }

    private async Task<FitLivesResponse> FitAsync(string revision, Action<FitLivesRequest>? set = null)
    {
        var request = new FitLivesRequest
        {
            Cohort = new Cohort { ModuleModels = { "moduleModels/" + Model } },
            BoundsMethod = BoundsMethod.LikelihoodRatio,
            MinimumRevision = revision,
        };
        set?.Invoke(request);
        return await shared.Clients.Analysis.FitLivesAsync(request, cancellationToken: Token);
    }

    private static string Module(int n, string kind = "") => $"modules/{Model}{kind}-{n}";

    private static ModuleEvent Row(Posting posting, int n, double hours, string site = "", string kind = "") =>
        posting.Event($"row-{n}", Module(n, kind), Time(2025, 12, 1), e => e.LifeReported = new LifeReported
        {
            ModuleModel = "moduleModels/" + Model + kind,
            Site = site,
            StartTime = Time(2025, 1, 1),
            EndTime = Time(2025, 12, 1),
            AgeAtObservation = 0,
            AgeAtEnd = hours,
            Outcome = LifeOutcome.Failed,
            FailureMoment = true,
            RemovalReason = RemovalReason.Failed,
            CompleteFrom = Time(2024, 1, 1),
        });
}
