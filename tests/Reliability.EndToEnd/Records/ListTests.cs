using Grpc.Core;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;
using static Reliability.EndToEnd.Records.Posting;

namespace Reliability.EndToEnd.Records;

/// <summary>Lists in pages: sizes, tokens bound to their arguments, cohorts, attribute values.</summary>
public sealed class ListTests(SharedService shared)
{
    private static CancellationToken Token => TestContext.Current.CancellationToken;

    private ModuleHistoryService.ModuleHistoryServiceClient History => shared.Clients.History;

    [Fact]
    public async Task Pages_hold_every_module_once_and_tokens_serve_their_own_question()
    {
        var revision = await PostModulesAsync("paged", 5);
        var request = new ListModulesRequest { Filter = "module_model = moduleModels/paged", PageSize = 2, MinimumRevision = revision };

        var names = new List<string>();
        var pages = 0;
        do
        {
            var page = await History.ListModulesAsync(request, cancellationToken: Token);
            names.AddRange(page.Modules.Select(module => module.Name));
            (request.PageToken, pages) = (page.NextPageToken, pages + 1);
        }
        while (request.PageToken.Length > 0);

        Assert.Equal(3, pages);
        Assert.Equal(Enumerable.Range(0, 5).Select(i => $"modules/paged-{i}"), names);
        var first = await History.ListModulesAsync(
            new ListModulesRequest { Filter = "module_model = moduleModels/paged", PageSize = 2 }, cancellationToken: Token);
        foreach (var (filter, token) in new[] { ("state = RETIRED", first.NextPageToken), (request.Filter, "nonsense"), (request.Filter, first.NextPageToken[..22] + "x") })
        {
            var refused = await Assert.ThrowsAsync<RpcException>(async () => await History.ListModulesAsync(
                new ListModulesRequest { Filter = filter, PageToken = token }, cancellationToken: Token));
            Assert.Equal(StatusCode.InvalidArgument, refused.StatusCode);
            Assert.Equal(["page_token"], StatusDetails.Fields(StatusDetails.Of(refused)));
        }
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public async Task Lives_of_a_cohort_come_in_pages_in_either_view(bool withCutoff)
    {
        var source = withCutoff ? "cut" : "lived";
        var revision = await PostModulesAsync(source, 5);
        var cohort = new Cohort { ModuleModels = { "moduleModels/" + source } };
        if (withCutoff)
            cohort.DataCutoffTime = Time(2024, 2, 1, 12);
        var request = new ListLivesRequest { Cohort = cohort, PageSize = 3, MinimumRevision = revision };

        var first = await History.ListLivesAsync(request, cancellationToken: Token);
        request.PageToken = first.NextPageToken;
        var second = await History.ListLivesAsync(request, cancellationToken: Token);

        Assert.Empty(second.NextPageToken);
        var lives = first.Lives.Concat(second.Lives).ToList();
        Assert.Equal(Enumerable.Range(0, 5).Select(i => $"modules/{source}-{i}"), lives.Select(life => life.Module));
        // Read 300 h in February and 600 h in March.
        Assert.All(lives, life => Assert.Equal(withCutoff ? 300 : 600, life.Observation.SurvivalHours));
        Assert.All(lives, life => Assert.True(life.InService));
    }

    [Fact]
    public async Task Excluded_lives_are_listed_and_counted_by_reason()
    {
        var posting = new Posting(shared.Clients, "excluded");
        await ModelAsync(shared.Clients, "excluded", 2000);
        var receipts = await posting.ReceiptsAsync(
            // A row of a source that does not say from when it lists every life.
            posting.Event("row", "asset:EX-1", Time(2024, 1, 1), e => e.LifeReported = new()
            {
                ModuleModel = "moduleModels/excluded",
                StartTime = Time(2023, 1, 1),
                EndTime = Time(2023, 6, 1),
                AgeAtObservation = 0,
                AgeAtEnd = 900,
                Outcome = LifeOutcome.Failed,
                FailureMoment = true,
            }));
        var request = new ListLivesRequest
        {
            Cohort = new() { ModuleModels = { "moduleModels/excluded" } },
            MinimumRevision = receipts[0].Revision,
        };

        var all = await History.ListLivesAsync(request, cancellationToken: Token);
        request.IncludedOnly = true;
        var included = await History.ListLivesAsync(request, cancellationToken: Token);

        var life = Assert.Single(all.Lives);
        Assert.Equal("OPENED_AFTER_OUTCOME", life.ExclusionReason);
        Assert.NotEmpty(life.ExclusionText);
        Assert.Equal([("OPENED_AFTER_OUTCOME", 1L)], all.ExcludedLives.Select(reason => (reason.Reason, reason.Count)));
        Assert.Empty(included.Lives);
    }

    [Fact]
    public async Task Values_in_use_are_listed_with_counts()
    {
        var revision = await PostModulesAsync("valued", 3);
        await History.ListLivesAsync(new ListLivesRequest { PageSize = 1, MinimumRevision = revision }, cancellationToken: Token);

        var values = await History.ListAttributeValuesAsync(
            new ListAttributeValuesRequest { Attribute = V1.Attribute.Site, PageSize = 1000 }, cancellationToken: Token);

        Assert.Contains(values.AttributeValues, value => value is { Value: "Site of valued", LifeCount: 3 });
    }

    [Fact]
    public async Task A_revision_lets_a_caller_read_its_own_writes()
    {
        for (var i = 0; i < 3; i++)
        {
            var source = $"own-writes-{i}";
            var revision = await PostModulesAsync(source, 2);
            var page = await History.ListLivesAsync(
                new ListLivesRequest { Cohort = new() { ModuleModels = { "moduleModels/" + source } }, MinimumRevision = revision },
                cancellationToken: Token);
            Assert.Equal(2, page.Lives.Count);
        }
    }

    private async Task<string> PostModulesAsync(string source, int modules)
    {
        await ModelAsync(shared.Clients, source, 2000);
        var posting = new Posting(shared.Clients, source);
        var receipts = await posting.ReceiptsAsync(Enumerable.Range(0, modules).SelectMany(i => new[]
        {
            posting.Event($"{i}-a", $"modules/{source}-{i}", Time(2024, 1, 1), e => e.Registered = new() { ModuleModel = "moduleModels/" + source, AgeHours = 0, ReadingHours = 0 }),
            posting.Event($"{i}-b", $"modules/{source}-{i}", Time(2024, 1, 1), e => e.Installed = new() { HostDevice = $"{source}-h{i}", ReadingHours = 0, Site = "Site of " + source }),
            posting.Event($"{i}-c", $"modules/{source}-{i}", Time(2024, 2, 1), e => e.RunHoursRead = new() { Readings = { new MeterReading { Hours = 300 } } }),
            posting.Event($"{i}-d", $"modules/{source}-{i}", Time(2024, 3, 1), e => e.RunHoursRead = new() { Readings = { new MeterReading { Hours = 600 } } }),
        }));
        return receipts[^1].Revision;
    }
}
