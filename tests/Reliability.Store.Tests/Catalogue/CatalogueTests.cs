using Reliability.Store.Catalogue;
using Reliability.Store.Paging;
using Xunit;

namespace Reliability.Store.Tests.Catalogue;

public sealed class CatalogueTests(SharedServer server) : StoreTest(server)
{
    private CatalogueStore Catalogue => Organisation.Catalogue;

    [Fact]
    public async Task A_model_is_there_as_soon_as_it_is_added_and_keeps_every_version()
    {
        var created = Stored(await Catalogue.CreateAsync("blower-20", Scenario.Blower, Cancellation));
        var changed = Scenario.Blower with { DisplayName = "Blower", EffectiveTime = Scenario.Start };
        var updated = Stored(await Catalogue.UpdateAsync("blower-20", changed, created.Etag, Cancellation));

        var there = (await Catalogue.GetAsync("blower-20", Cancellation))!;

        Assert.Equal(["Ventilator blower module", "Blower"], there.Model.Versions.Select(version => version.DisplayName));
        Assert.Equal("Blower", there.Latest.DisplayName);
        Assert.Equal(updated.Etag, there.Etag);
        Assert.NotEqual(created.Etag, updated.Etag);
        Assert.Equal(created.CreateTime, there.CreateTime);
        Assert.True(there.UpdateTime > there.CreateTime);
        Assert.True(updated.Revision.CatalogueVersion > created.Revision.CatalogueVersion);
        Assert.Equal(2, await ScalarAsync<long>(
            "select count(*) from mt_events where stream_id = 'catalogue/blower-20'"));
    }

    [Fact]
    public async Task Adding_a_model_twice_is_refused_and_the_first_stands()
    {
        await Catalogue.CreateAsync("blower-20", Scenario.Blower, Cancellation);

        var outcome = await Catalogue.CreateAsync("blower-20", new() { DisplayName = "other" }, Cancellation);

        var there = Assert.IsType<CatalogueOutcome.AlreadyExists>(outcome).Model;
        Assert.Equal("Ventilator blower module", there.Latest.DisplayName);
    }

    [Fact]
    public async Task Of_many_that_add_a_model_at_once_one_succeeds()
    {
        var outcomes = await Task.WhenAll(Enumerable.Range(0, 8).Select(n =>
            Catalogue.CreateAsync("blower-20", new() { DisplayName = $"by {n}" }, Cancellation)));

        Assert.Single(outcomes.OfType<CatalogueOutcome.Stored>());
        Assert.Equal(7, outcomes.OfType<CatalogueOutcome.AlreadyExists>().Count());
    }

    [Fact]
    public async Task Of_many_that_change_one_etag_one_succeeds()
    {
        var etag = Stored(await Catalogue.CreateAsync("blower-20", Scenario.Blower, Cancellation)).Etag;

        var outcomes = await Task.WhenAll(Enumerable.Range(0, 8).Select(n =>
            Catalogue.UpdateAsync("blower-20", new() { DisplayName = $"by {n}" }, etag, Cancellation)));

        var winner = Stored(Assert.Single(outcomes.OfType<CatalogueOutcome.Stored>()));
        Assert.All(
            outcomes.OfType<CatalogueOutcome.Conflict>(), conflict => Assert.Equal(winner.Etag, conflict.Model.Etag));
        Assert.Equal(7, outcomes.OfType<CatalogueOutcome.Conflict>().Count());
        Assert.Equal(
            winner.Latest.DisplayName, (await Catalogue.GetAsync("blower-20", Cancellation))!.Latest.DisplayName);
    }

    [Fact]
    public async Task A_model_that_is_not_there_is_neither_got_nor_changed()
    {
        Assert.Null(await Catalogue.GetAsync("none", Cancellation));
        Assert.IsType<CatalogueOutcome.NotFound>(
            await Catalogue.UpdateAsync("none", Scenario.Blower, null, Cancellation));
        Assert.Equal(0, await ScalarAsync<long>("select count(*) from mt_events"));
    }

    [Fact]
    public async Task Models_are_listed_in_pages_in_order_of_id()
    {
        foreach (var id in (string[])["pump-8", "lamp-2", "blower-20"])
            await Catalogue.CreateAsync(id, Scenario.Blower, Cancellation);

        var first = await Catalogue.ListAsync(2, after: null, Cancellation);
        var second = await Catalogue.ListAsync(2, first.Next, Cancellation);

        Assert.Equal(["blower-20", "lamp-2"], first.Items.Select(stored => stored.Model.Id));
        Assert.Equal(["pump-8"], second.Items.Select(stored => stored.Model.Id));
        Assert.Null(second.Next);
        await Assert.ThrowsAsync<PageTokenException>(
            () => Organisation.Modules.ListAsync(new(), null, 2, first.Next, Cancellation));
    }

    private static StoredModuleModel Stored(CatalogueOutcome outcome) =>
        Assert.IsType<CatalogueOutcome.Stored>(outcome).Model;
}
