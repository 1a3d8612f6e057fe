using Reliability.History.Aliases;
using Reliability.Store.Aliases;
using Reliability.Store.Posting;
using Xunit;

namespace Reliability.Store.Tests.Lives;

/// <summary>The mark on an organisation's lives goes with every change of them, and with nothing else.</summary>
public sealed class LivesVersionTests(SharedServer server) : StoreTest(server)
{
    [Fact]
    public async Task Every_change_of_lives_replaces_the_mark_and_none_comes_back()
    {
        var marks = new HashSet<Guid?>();
        Assert.True(marks.Add(await MarkAsync()));
        await Organisation.Catalogue.CreateAsync(Scenario.Model, Scenario.Blower, Cancellation);
        await RecordAndWaitAsync([.. Scenario.WholeHistory("m-1"), .. Scenario.WholeHistory("m-2")]);
        Assert.True(marks.Add(await MarkAsync()));

        // Gone on with from the row.
        await RecordAndWaitAsync(Scenario.Read("m-1", 120, 400));
        Assert.True(marks.Add(await MarkAsync()));

        // Derived anew.
        await RecordAndWaitAsync(Scenario.Retracted("m-1", Scenario.Read("m-1", 120, 400), 121));
        Assert.True(marks.Add(await MarkAsync()));

        // Rows taken away: one id is found to be another's.
        var alias = Assert.IsType<AliasOutcome.Created>(
            await Organisation.Aliases.CreateAsync(AliasKind.Module, "m-2", "m-1", false, Cancellation)).Alias;
        await WaitAsync(alias.Revision);
        Assert.True(marks.Add(await MarkAsync()));

        await Store.RebuildAsync(Cancellation);
        Assert.True(marks.Add(await MarkAsync()));
    }

    [Fact]
    public async Task Nothing_else_replaces_it()
    {
        await Organisation.Catalogue.CreateAsync(Scenario.Model, Scenario.Blower, Cancellation);
        await RecordAndWaitAsync(Scenario.WholeHistory("m-1"));
        var mark = await MarkAsync();

        // Another organisation's lives, a repost, a model that no record names.
        var other = Store.For("velsham");
        var moved = Scenario.WholeHistory("m-1").Select(posted => Scenario.Event(
            posted.ModuleId, posted.OriginalId, (posted.Occurrence.Earliest - Scenario.Start).TotalDays, posted.Body, organisation: "velsham"));
        var last = (await other.Events.RecordAsync([.. moved], Cancellation)).OfType<RecordOutcome.Receipt>().Last();
        await other.Revisions.WaitAsync(last.Revision, TimeSpan.FromSeconds(20), Cancellation);
        await RecordAsync(Scenario.WholeHistory("m-1"));
        await Organisation.Catalogue.CreateAsync("none-names-it", Scenario.Blower, Cancellation);
        var model = await Organisation.Catalogue.GetAsync("none-names-it", Cancellation);
        await WaitAsync(model!.Revision);

        Assert.Equal(mark, await MarkAsync());
        Assert.NotEqual(mark, await other.Lives.VersionAsync(Cancellation));
        Assert.NotNull(await other.Lives.VersionAsync(Cancellation));
    }

    private Task<Guid?> MarkAsync() => Organisation.Lives.VersionAsync(Cancellation);
}
