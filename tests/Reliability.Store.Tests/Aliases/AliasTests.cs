using System.Text.Json;
using Reliability.History.Aliases;
using Reliability.History.Events;
using Reliability.History.Lives;
using Reliability.Store.Aliases;
using Reliability.Store.Attributes;
using Reliability.Store.Records;
using Xunit;

namespace Reliability.Store.Tests.Aliases;

/// <summary>Ids of one module joined and parted, spellings that mean the same, and the same again after a rebuild.</summary>
public sealed class AliasTests(SharedServer server) : StoreTest(server)
{
    [Fact]
    public async Task Two_ids_of_one_module_have_one_record_until_the_alias_is_deleted()
    {
        await Organisation.Catalogue.CreateAsync(Scenario.Model, Scenario.Blower, Cancellation);
        // The first half under one id, the second under another, which a second system registered.
        var whole = Scenario.WholeHistory("m-1");
        await RecordAndWaitAsync(
            [.. whole.Take(5), .. Scenario.WholeHistory("m-2").Skip(5), Scenario.Registered("m-2"), .. Scenario.WholeHistory("m-3")]);
        var before = await DerivedRowsAsync(withAliasVersions: false);

        var created = await CreateAsync(AliasKind.Module, "m-2", "m-1");

        var byEither = new[] { await GetAsync("m-1"), await GetAsync("m-2") };
        Assert.Equal(byEither[0], byEither[1]);
        var module = (await Organisation.Modules.GetAsync("m-2", null, Cancellation))!;
        Assert.Equal("m-1", module.Record.ModuleId);
        Assert.Equal(["m-2"], module.Record.JoinedModules);
        Assert.Equal(
            [LifeOutcome.Failed(900), LifeOutcome.Survived(350)], module.Derived.Lives.Select(life => life.Outcome!.Value));
        Assert.All(module.Derived.Lives, life => Assert.Equal("m-1", life.ModuleId));
        Assert.Equal(["SN-m-1", "SN-m-2"], module.Derived.Identifiers.Select(identifier => identifier.Value));
        Assert.True(module.Revision.Position >= created.Revision.Position);
        Assert.Equal(10, module.Record.Events.Count);
        Assert.Equal(10, (await Organisation.Modules.ListEventsAsync("m-2", null, 100, null, Cancellation))!.Items.Count);
        Assert.Contains(module.Record.Events, recorded => recorded.ModuleId == "m-2");

        // Lives appear once, under the primary name, and the other one finds them.
        Assert.Equal(["m-1", "m-1", "m-3", "m-3"], await LivesAsync(new()));
        Assert.Equal(["m-1", "m-1"], await LivesAsync(new() { Modules = ["m-2"] }));
        Assert.Equal(["m-1", "m-1"], await LivesAsync(new() { Modules = ["m-2"] }, new() { Derivation = new() { FailureMode = "bearing" } }));
        Assert.Equal(["m-1", "m-3"], await ModulesAsync(new()));
        Assert.Equal(["m-1"], await ModulesAsync(new() { SerialNumber = "SN-m-2" }));
        var joined = await DerivedRowsAsync();
        await Store.RebuildAsync(Cancellation);
        Assert.Equal(joined, await DerivedRowsAsync());

        // What comes for either id later is of the one module.
        await RecordAndWaitAsync(Scenario.Read("m-2", 120, 600));
        Assert.Contains(LifeOutcome.Survived(600), (await LifeOutcomesAsync(new() { Modules = ["m-1"] })).OfType<LifeOutcome>());
        await RecordAndWaitAsync(Scenario.Retracted("m-2", Scenario.Read("m-2", 120, 600), 121));

        var deleted = Assert.IsType<AliasOutcome.Deleted>(
            await Organisation.Aliases.DeleteAsync(created.Id, created.Etag, false, Cancellation));
        await WaitAsync(deleted.Revision);
        Assert.Equal(["m-1", "m-2", "m-3"], await ModulesAsync(new()));
        Assert.Empty((await Organisation.Modules.GetAsync("m-1", null, Cancellation))!.Record.JoinedModules);
        var parted = await DerivedRowsAsync();
        await Store.RebuildAsync(Cancellation);
        Assert.Equal(parted, await DerivedRowsAsync());
        Assert.NotEqual(before, joined);
    }

    [Fact]
    public async Task Deleting_an_alias_leaves_every_row_as_it_was_byte_by_byte()
    {
        await Organisation.Catalogue.CreateAsync(Scenario.Model, Scenario.Blower, Cancellation);
        await RecordAndWaitAsync([.. Scenario.WholeHistory("m-1"), .. Scenario.WholeHistory("m-2"), .. Scenario.WholeHistory("m-3")]);
        var (rows, answers) = (await DerivedRowsAsync(withAliasVersions: false), await AnswersAsync());

        // A chain, a name of which nothing is on record, and spellings at once.
        StoredAlias[] aliases =
        [
            await CreateAsync(AliasKind.Module, "m-3", "m-2"), await CreateAsync(AliasKind.Module, "m-2", "never-posted"),
            await CreateAsync(AliasKind.Site, "Quennick General", "Orrowby Infirmary"),
        ];
        Assert.Equal(["m-1", "never-posted"], await ModulesAsync(new()));
        Assert.NotEqual(rows, await DerivedRowsAsync(withAliasVersions: false));

        foreach (var alias in aliases)
        {
            var deleted = Assert.IsType<AliasOutcome.Deleted>(
                await Organisation.Aliases.DeleteAsync(alias.Id, null, false, Cancellation));
            await WaitAsync(deleted.Revision);
        }
        Assert.Equal(rows, await DerivedRowsAsync(withAliasVersions: false));
        Assert.Equal(answers, await AnswersAsync());
        await Store.RebuildAsync(Cancellation);
        Assert.Equal(rows, await DerivedRowsAsync(withAliasVersions: false));

        async Task<string> AnswersAsync() => string.Join('\n', await GetAsync("m-1"), await GetAsync("m-2"), await GetAsync("m-3"));
    }

    [Fact]
    public async Task A_spelling_stands_for_another_in_lives_states_filters_and_counts()
    {
        await Organisation.Catalogue.CreateAsync(
            Scenario.Model,
            Scenario.Blower with { RatedLives = [new() { RatedHours = 9_000, Refurbisher = "2nd Turn" }, new() { RatedHours = 20_000 }] },
            Cancellation);
        await RecordAndWaitAsync([.. Scenario.WholeHistory("m-1"), .. Elsewhere("m-2", "Quennick Gen."), .. Elsewhere("m-3", "Q Gen")]);
        Assert.Equal(20_000, (await LivesOfAsync("m-1"))[1].RatedHours);

        await CreateAsync(AliasKind.Site, "Q Gen", "Quennick Gen.");
        var site = await CreateAsync(AliasKind.Site, "Quennick Gen.", "Quennick General");
        await CreateAsync(AliasKind.Refurbisher, "2nd Turn", "Second Turn Bench");

        foreach (var spelling in (string[])["Q Gen", "Quennick Gen.", "Quennick General"])
        {
            Assert.Equal(["m-1", "m-1", "m-2", "m-3"], await LivesAsync(new() { Sites = [spelling] }));
            Assert.Equal(["m-1", "m-1", "m-2", "m-3"], await LivesAsync(new() { Sites = [spelling] }, new() { Derivation = new() { FailureMode = "bearing" } }));
            Assert.Equal(["m-1", "m-2", "m-3"], await ModulesAsync(new() { Site = spelling }));
        }
        Assert.Equal([new("Quennick General", 4)], await SitesAsync());
        // What the model says of the refurbisher in the other spelling holds for the life.
        Assert.Equal(9_000, (await LivesOfAsync("m-1"))[1].RatedHours);
        var typed = (await Organisation.Modules.ListEventsAsync("m-3", null, 10, null, Cancellation))!.Items;
        Assert.Equal("Q Gen", typed.Select(item => item.Event.Body).OfType<InstalledV1>().Single().Site);

        var deleted = Assert.IsType<AliasOutcome.Deleted>(
            await Organisation.Aliases.DeleteAsync(site.Id, null, false, Cancellation));
        await WaitAsync(deleted.Revision);
        Assert.Equal([new("Quennick Gen.", 2), new("Quennick General", 2)], await SitesAsync());
    }

    [Fact]
    public async Task As_of_an_instant_names_mean_what_they_meant_then()
    {
        await Organisation.Catalogue.CreateAsync(Scenario.Model, Scenario.Blower, Cancellation);
        await RecordAndWaitAsync([.. Scenario.WholeHistory("m-1"), .. Scenario.WholeHistory("m-2")]);
        var apart = await NowAsync();
        var join = await CreateAsync(AliasKind.Module, "m-1", "m-2");
        var site = await CreateAsync(AliasKind.Site, "Quennick General", "Orrowby Infirmary");
        var joined = await NowAsync();
        foreach (var alias in (StoredAlias[])[join, site])
        {
            await WaitAsync(Assert.IsType<AliasOutcome.Deleted>(
                await Organisation.Aliases.DeleteAsync(alias.Id, null, false, Cancellation)).Revision);
        }

        foreach (var now in (DateTimeOffset?[])[null, apart])
        {
            Assert.Equal(["m-1", "m-1", "m-2", "m-2"], await LivesAsync(new() { Sites = ["Quennick General"] }, View(now)));
            Assert.Equal(["m-1", "m-2"], await ModulesAsync(new() { Model = Scenario.Model }, View(now)));
        }
        Assert.Equal(["m-2", "m-2"], await LivesAsync(new() { Models = [Scenario.Model], Modules = ["m-1"] }, View(joined)));
        Assert.Equal(["m-2"], await ModulesAsync(new() { Site = "Quennick General", SerialNumber = "SN-m-1" }, View(joined)));
        Assert.Equal(
            "Orrowby Infirmary", (await Organisation.Modules.GetAsync("m-1", View(joined), Cancellation))!.Derived.Site);

        // While they are joined, what was before is still there.
        await CreateAsync(AliasKind.Module, "m-1", "m-2");
        Assert.Equal(["m-1", "m-1", "m-2", "m-2"], await LivesAsync(new() { Models = [Scenario.Model] }, View(apart)));

        static RecordView View(DateTimeOffset? instant) => new() { AsOfRecordTime = instant };
        async Task<DateTimeOffset> NowAsync() => await ScalarAsync<DateTime>("select clock_timestamp()");
    }

    [Fact]
    public async Task What_cannot_be_is_refused_and_what_is_there_is_listed_in_pages()
    {
        var first = await CreateAsync(AliasKind.Module, "m-2", "m-1");
        await CreateAsync(AliasKind.Module, "m-3", "m-2");
        await CreateAsync(AliasKind.Site, "Q Gen", "Quennick General");

        Assert.Equal("m-1", Assert.IsType<AliasOutcome.AlreadyExists>(await TryAsync("m-2", "m-9")).Alias.Primary);
        Assert.IsType<AliasOutcome.Circular>(await TryAsync("m-1", "m-3"));
        Assert.IsType<AliasOutcome.Circular>(await TryAsync("m-1", "m-1"));
        Assert.IsType<AliasOutcome.Allowed>(await TryAsync("m-4", "m-3", validateOnly: true));
        Assert.IsType<AliasOutcome.NotFound>(await Organisation.Aliases.DeleteAsync("no-such", null, false, Cancellation));
        Assert.IsType<AliasOutcome.Conflict>(await Organisation.Aliases.DeleteAsync(first.Id, "0", false, Cancellation));
        Assert.IsType<AliasOutcome.Allowed>(await Organisation.Aliases.DeleteAsync(first.Id, first.Etag, true, Cancellation));

        var page = await Organisation.Aliases.ListAsync(null, 2, null, Cancellation);
        Assert.Equal(["m-2", "m-3"], page.Items.Select(alias => alias.Alternate));
        Assert.Equal(
            ["Q Gen"], (await Organisation.Aliases.ListAsync(null, 2, page.Next, Cancellation)).Items.Select(alias => alias.Alternate));
        Assert.Equal(first, page.Items[0]);
        Assert.Single((await Organisation.Aliases.ListAsync(AliasKind.Site, 10, null, Cancellation)).Items);

        Task<AliasOutcome> TryAsync(string alternate, string primary, bool validateOnly = false) =>
            Organisation.Aliases.CreateAsync(AliasKind.Module, alternate, primary, validateOnly, Cancellation);
    }

    [Fact]
    public async Task Two_that_make_a_circle_together_are_not_both_taken()
    {
        var second = await StartStoreAsync();
        var outcomes = await Task.WhenAll(
            Organisation.Aliases.CreateAsync(AliasKind.Module, "m-1", "m-2", false, Cancellation),
            second.Default.Aliases.CreateAsync(AliasKind.Module, "m-2", "m-1", false, Cancellation));

        Assert.Single(outcomes.OfType<AliasOutcome.Created>());
        Assert.Single(outcomes.OfType<AliasOutcome.Circular>());
    }

    [Fact]
    public async Task The_table_of_changes_is_a_copy_of_the_log_and_a_rebuild_mends_it()
    {
        await Organisation.Catalogue.CreateAsync(Scenario.Model, Scenario.Blower, Cancellation);
        await RecordAndWaitAsync([.. Scenario.WholeHistory("m-1"), .. Scenario.WholeHistory("m-2"), .. Scenario.WholeHistory("m-3")]);
        await CreateAsync(AliasKind.Module, "m-2", "m-1");
        var wrong = await CreateAsync(AliasKind.Module, "m-3", "m-1");
        await CreateAsync(AliasKind.HostModel, "V 100", "V-100");
        Assert.IsType<AliasOutcome.Deleted>(await Organisation.Aliases.DeleteAsync(wrong.Id, null, false, Cancellation));
        await CreateAsync(AliasKind.Site, "Quennick General", "Orrowby \"Infirmary\"");
        var (changes, rows, listed) = (await ChangesAsync(), await DerivedRowsAsync(), await ListAsync());
        Assert.Equal(5, changes.Split('\n').Length);

        await Store.RebuildAsync(Cancellation);
        Assert.Equal(changes, await ChangesAsync());

        // One change lost, one altered, one that nobody made, and all of it known to the store by now.
        await ScalarAsync<object>(
            """
            with l as (delete from alias_change where alternate = 'm-2'),
            a as (update alias_change set primary_name = 'm-9', record_time = now() where kind = 'site'),
            i as (insert into alias_change select organisation, 1, alias, kind, 'm-1', 'm-7', record_time from alias_change where alternate = 'V 100')
            select 1
            """);
        Assert.NotEqual(listed, await ListAsync());

        await Store.RebuildAsync(Cancellation);

        Assert.Equal(changes, await ChangesAsync());
        Assert.Equal(listed, await ListAsync());
        Assert.Equal(rows, await DerivedRowsAsync());
        Assert.Equal(await GetAsync("m-1"), await GetAsync("m-2"));

        Task<string> ChangesAsync() =>
            ScalarAsync<string>("select string_agg(to_jsonb(c)::text, E'\\n' order by position) from alias_change c");
        async Task<string> ListAsync() =>
            string.Join('\n', (await Organisation.Aliases.ListAsync(null, 10, null, Cancellation)).Items);
    }

    private async Task<StoredAlias> CreateAsync(AliasKind kind, string alternate, string primary)
    {
        var created = Assert.IsType<AliasOutcome.Created>(
            await Organisation.Aliases.CreateAsync(kind, alternate, primary, false, Cancellation)).Alias;
        await WaitAsync(created.Revision);
        return created;
    }

    private async Task<string> GetAsync(string module) =>
        JsonSerializer.Serialize((await Organisation.Modules.GetAsync(module, null, Cancellation))!.Summarise());

    private async Task<IReadOnlyList<Life>> LivesOfAsync(string module) =>
        (await Organisation.Modules.GetAsync(module, null, Cancellation))!.Derived.Lives;

    private async Task<IEnumerable<string>> LivesAsync(LifeFilter filter, RecordView? view = null) =>
        (await Organisation.Lives.ReadAsync(filter, view, Cancellation).ToListAsync(Cancellation)).Select(stored => stored.Life.ModuleId);

    private async Task<IReadOnlyList<LifeOutcome?>> LifeOutcomesAsync(LifeFilter filter) =>
        [.. (await Organisation.Lives.ReadAsync(filter, null, Cancellation).ToListAsync(Cancellation)).Select(stored => stored.Life.Outcome)];

    private async Task<IEnumerable<string>> ModulesAsync(Store.Modules.ModuleFilter filter, RecordView? view = null) =>
        (await Organisation.Modules.ListAsync(filter, view, 10, null, Cancellation)).Items.Select(item => item.Summary.Module.ModuleId);

    private async Task<IReadOnlyList<AttributeValue>> SitesAsync() =>
        (await Organisation.Attributes.ListAsync(AttributeKind.Site, 10, null, Cancellation)).Items;

    private static IReadOnlyList<RecordedEvent> Elsewhere(string module, string site) =>
    [
        Scenario.Registered(module),
        Scenario.Event(module, $"{module}-installed", 1, new InstalledV1 { HostDevice = $"host-{module}", Site = site, ReadingHours = 0 }),
        Scenario.Read(module, 20, 300),
    ];
}
