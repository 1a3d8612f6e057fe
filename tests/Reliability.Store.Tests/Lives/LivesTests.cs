using Reliability.History.Catalogue;
using Reliability.History.Events;
using Reliability.History.Lives;
using Reliability.Store.Attributes;
using Reliability.Store.Catalogue;
using Reliability.Store.Lives;
using Reliability.Store.Paging;
using Reliability.Store.Records;
using Xunit;

namespace Reliability.Store.Tests.Lives;

public sealed class LivesTests(SharedServer server) : StoreTest(server)
{
    [Fact]
    public async Task Lives_are_those_of_the_derivation()
    {
        await AddModelAsync();
        await RecordAndWaitAsync(Scenario.WholeHistory("m-1"));

        var stored = await ReadAsync(LifeFilter.All);

        var expected = LifeDerivation.Derive(
            new ModuleRecord("m-1", Scenario.WholeHistory("m-1")), await Organisation.Catalogue.ReadAsync(null, Cancellation));
        Assert.Equal(2, expected.Lives.Count);
        Assert.Equal(
            expected.Lives.Select(life => (life.Number, life.Outcome, life.EntryHours, life.Condition, life.Site)),
            stored.Select(life => (life.Number, life.Outcome, life.EntryHours, life.Condition, life.Site)));
    }

    [Fact]
    public async Task Shuffled_posts_in_parallel_give_the_same_rows_as_posts_in_order()
    {
        var modules = Enumerable.Range(0, 20).Select(n => $"m-{n:00}").ToList();
        var events = modules.SelectMany(Scenario.WholeHistory).ToArray();
        await AddModelAsync();
        await RecordAndWaitAsync(events);
        var inOrder = await DerivedRowsAsync(withPositions: false);

        var shuffled = events.Select(posted => Move(posted, "velsham")).ToArray();
        new Random(7).Shuffle(shuffled);
        var velsham = Store.For("velsham");
        var second = (await StartStoreAsync()).For("velsham");
        await Task.WhenAll(
            PostAsync(velsham, shuffled[..120]), PostAsync(second, shuffled[60..]), PostAsync(velsham, shuffled[100..]));
        await velsham.Catalogue.CreateAsync(Scenario.Model, Scenario.Blower, Cancellation);
        var last = await velsham.Catalogue.GetAsync(Scenario.Model, Cancellation);
        await velsham.Revisions.WaitAsync(last!.Revision, TimeSpan.FromSeconds(20), Cancellation);

        var rows = (await DerivedRowsAsync(withPositions: false)).Split('\n');
        var there = rows.Where(row => row.Contains("velsham", StringComparison.Ordinal)).Order(StringComparer.Ordinal);
        Assert.Equal(80, inOrder.Split('\n').Length);
        Assert.Equal(
            inOrder.Split('\n').Order(StringComparer.Ordinal),
            there.Select(row => WithoutIds(row.Replace("velsham", "default", StringComparison.Ordinal))),
            (one, other) => WithoutIds(one) == other);
    }

    [Fact]
    public async Task A_rebuild_gives_the_same_rows_to_the_byte()
    {
        await AddModelAsync();
        await RecordAndWaitAsync(
            [.. Enumerable.Range(0, 12).SelectMany(n => Scenario.WholeHistory($"m-{n}")), Scenario.Read("m-x", 5, 10)]);
        var before = await DerivedRowsAsync();
        await ScalarAsync<object>(
            """
            with l as (delete from lives), s as (delete from module_state),
            i as (delete from module_identifier) select 1
            """);

        await Store.RebuildAsync(Cancellation);

        Assert.Equal(before, await DerivedRowsAsync());
    }

    [Fact]
    public async Task A_rebuild_on_top_of_rows_leaves_them_as_they_are()
    {
        await AddModelAsync();
        await RecordAndWaitAsync(Scenario.WholeHistory("m-1"));
        var before = await DerivedRowsAsync();

        await Store.RebuildAsync(Cancellation);

        Assert.Equal(before, await DerivedRowsAsync());
    }

    [Fact]
    public async Task A_changed_model_changes_the_lives_of_its_modules()
    {
        await AddModelAsync();
        await RecordAndWaitAsync(Scenario.WholeHistory("m-1"));
        Assert.All(await ReadAsync(LifeFilter.All), life => Assert.Equal(20_000, life.RatedHours));

        var changed = Scenario.Blower with { RatedLives = [new RatedLife { RatedHours = 15_000 }] };
        var outcome = await Organisation.Catalogue.UpdateAsync(Scenario.Model, changed, etag: null, Cancellation);
        await WaitAsync(Assert.IsType<CatalogueOutcome.Stored>(outcome).Model.Revision);

        Assert.All(await ReadAsync(LifeFilter.All), life => Assert.Equal(15_000, life.RatedHours));
    }

    [Fact]
    public async Task Filters_of_the_query_say_the_same_as_filters_of_lives()
    {
        await AddModelAsync();
        await RecordAndWaitAsync(Enumerable.Range(0, 6).SelectMany(n => Scenario.WholeHistory($"m-{n}")).ToArray());
        var all = await ReadAsync(LifeFilter.All);
        Assert.Equal(12, all.Count);
        LifeFilter[] filters =
        [
            new() { Modules = ["m-1", "m-2"] },
            new() { Models = [Scenario.Model] },
            new() { Models = ["none"] },
            new() { ConditionClass = ConditionClass.New },
            new() { ConditionClass = ConditionClass.Refurbished },
            new() { RefurbishmentCounts = [1, 2] },
            new() { Refurbishers = ["Second Turn Bench"] },
            new() { Sites = ["Quennick General"], HostModels = ["ventilator-3"], Lots = ["lot-7"] },
            new() { Sites = ["Orrowby Infirmary"] },
            new() { EarliestStartTime = all.Max(life => life.StartTime) },
            new() { LatestStartTime = all.Max(life => life.StartTime) },
        ];

        foreach (var filter in filters)
        {
            var selected = await ReadAsync(filter);
            Assert.Equal(
                all.Where(filter.Matches).Select(life => (life.ModuleId, life.Number)),
                selected.Select(life => (life.ModuleId, life.Number)));
        }
        Assert.Contains(filters, filter => all.Count(filter.Matches) is > 0 and < 12);
    }

    [Fact]
    public async Task A_cut_off_derives_again_from_the_records()
    {
        await AddModelAsync();
        await RecordAndWaitAsync(Scenario.WholeHistory("m-1"));
        var cutoff = Scenario.Start.AddDays(30);

        var lives = await ReadAsync(LifeFilter.All, new DerivationOptions { DataCutoffTime = cutoff });

        var life = Assert.Single(lives);
        Assert.Equal(LifeOutcome.Survived(400), life.Outcome);
    }

    [Fact]
    public async Task Pages_of_lives_are_the_whole_list_in_order()
    {
        await AddModelAsync();
        await RecordAndWaitAsync(Enumerable.Range(0, 5).SelectMany(n => Scenario.WholeHistory($"m-{n}")).ToArray());
        var paged = new List<(string, int)>();
        var page = await Organisation.Lives.ListAsync(LifeFilter.All, null, LivesListed.All, 3, null, Cancellation);
        while (true)
        {
            paged.AddRange(page.Items.Select(stored => (stored.Life.ModuleId, stored.Life.Number)));
            if (page.Next is null) break;
            Assert.Equal(3, page.Items.Count);
            Assert.True(PageToken.TryParse(page.Next.ToString(), out var token));
            page = await Organisation.Lives.ListAsync(LifeFilter.All, null, LivesListed.All, 3, token, Cancellation);
        }

        Assert.Equal((await ReadAsync(LifeFilter.All)).Select(life => (life.ModuleId, life.Number)), paged);
        Assert.Equal(10, paged.Count);
    }

    [Fact]
    public async Task Pages_of_another_view_are_its_whole_list_in_order()
    {
        await AddModelAsync();
        await RecordAndWaitAsync(Enumerable.Range(0, 7).SelectMany(n => Scenario.WholeHistory($"m-{n}")).ToArray());
        var view = new RecordView { Derivation = new() { FailureMode = "none such" } };
        var paged = new List<(string, int)>();
        for (PageToken? after = null; ;)
        {
            var page = await Organisation.Lives.ListAsync(LifeFilter.All, view, LivesListed.All, 3, after, Cancellation);
            paged.AddRange(page.Items.Select(stored => (stored.Life.ModuleId, stored.Life.Number)));
            if (page.Next is null) break;
            Assert.Equal(3, page.Items.Count);
            Assert.True(PageToken.TryParse(page.Next.ToString(), out after));
        }

        Assert.Equal((await ReadAsync(LifeFilter.All, view.Derivation)).Select(life => (life.ModuleId, life.Number)), paged);
        Assert.Equal(14, paged.Count);
    }

    [Theory]
    [InlineData(LivesListed.All, 2)]
    [InlineData(LivesListed.CountingOrFlagged, 0)]
    [InlineData(LivesListed.Counting, 0)]
    public async Task Lives_that_enter_no_sample_are_listed_only_where_all_are(LivesListed listed, int expected)
    {
        // Without the model in the catalogue both lives are excluded.
        await RecordAndWaitAsync(Scenario.WholeHistory("m-1"));
        var cutoff = new RecordView { Derivation = new() { DataCutoffTime = Scenario.Start.AddDays(1000) } };

        foreach (var view in new[] { RecordView.Present, cutoff })
        {
            var page = await Organisation.Lives.ListAsync(LifeFilter.All, view, listed, 10, null, Cancellation);
            Assert.Equal(expected, page.Items.Count);
        }
    }

    [Fact]
    public async Task A_flagged_life_is_listed_with_those_that_count_only_when_asked_for()
    {
        await AddModelAsync();
        await RecordAndWaitAsync(
            Scenario.Registered("m-1"), Scenario.Installed("m-1"), Scenario.Read("m-1", 20, 400),
            // The failure shows a reading that no clock allows: the age at it rests on what was left out.
            Scenario.Failed("m-1", 45, 90_000), Scenario.Registered("m-2"), Scenario.Installed("m-2"),
            Scenario.Read("m-2", 20, 400));
        var cutoff = new RecordView { Derivation = new() { DataCutoffTime = Scenario.Start.AddDays(1000) } };

        foreach (var view in new[] { RecordView.Present, cutoff })
        {
            Assert.Equal(["m-1", "m-2"], await ListedAsync(LivesListed.CountingOrFlagged));
            Assert.Equal(["m-2"], await ListedAsync(LivesListed.Counting));

            async Task<IEnumerable<string>> ListedAsync(LivesListed listed) =>
                (await Organisation.Lives.ListAsync(LifeFilter.All, view, listed, 10, null, Cancellation))
                .Items.Select(stored => stored.Life.ModuleId);
        }
    }

    [Fact]
    public async Task Values_of_attributes_are_listed_with_counts()
    {
        await AddModelAsync();
        await RecordAndWaitAsync([.. Scenario.WholeHistory("m-1"), .. Scenario.WholeHistory("m-2")]);

        var sites = await Organisation.Attributes.ListAsync(AttributeKind.Site, 10, null, Cancellation);
        var refurbishers = await Organisation.Attributes.ListAsync(AttributeKind.Refurbisher, 10, null, Cancellation);

        Assert.Equal([new AttributeValue("Quennick General", 4)], sites.Items);
        Assert.Equal([new AttributeValue("Second Turn Bench", 2)], refurbishers.Items);
    }

    private async Task AddModelAsync() => Assert.IsType<CatalogueOutcome.Stored>(
        await Organisation.Catalogue.CreateAsync(Scenario.Model, Scenario.Blower, Cancellation));

    private async Task<List<Life>> ReadAsync(LifeFilter filter, DerivationOptions? options = null) =>
        await Organisation.Lives.ReadAsync(filter, options is null ? null : new RecordView { Derivation = options }, Cancellation)
            .Select(stored => stored.Life).ToListAsync(Cancellation);

    private static async Task PostAsync(OrganisationStore organisation, RecordedEvent[] events)
    {
        foreach (var batch in events.Chunk(17)) await organisation.Events.RecordAsync(batch, Cancellation);
    }

    private static RecordedEvent Move(RecordedEvent posted, string organisation) => posted with
    {
        EventId = EventIdentity.EventId(organisation, posted.Source, posted.OriginalId),
    };

    /// <summary>Ids of events are made from the organisation too and differ.</summary>
    private static string WithoutIds(string row) => System.Text.RegularExpressions.Regex.Replace(
        row, "[0-9a-f]{8}-[0-9a-f]{4}-5[0-9a-f]{3}-[0-9a-f]{4}-[0-9a-f]{12}", "id");
}
