using Reliability.History.Events;
using Reliability.Store.Catalogue;
using Reliability.Store.Posting;
using Xunit;

namespace Reliability.Store.Tests.Lives;

/// <summary>All that is beside the log follows from it, to the byte.</summary>
public sealed class RebuildTests(SharedServer server) : StoreTest(server)
{
    [Fact]
    public async Task All_tables_made_anew_hold_what_they_held()
    {
        var modules = await PostInManyPagesAsync();
        var before = await DerivedRowsAsync();
        await ScalarAsync<object>(
            """
            with l as (delete from lives), s as (delete from module_state), i as (delete from module_identifier),
            r as (delete from module_readings) select 1
            """);

        var rebuilt = await Store.RebuildAsync(Cancellation);

        Assert.Equal(modules, rebuilt);
        Assert.Equal(before, await DerivedRowsAsync());
    }

    [Fact]
    public async Task Readings_filed_in_many_pages_are_put_together_and_damage_is_mended()
    {
        await PostInManyPagesAsync();
        var before = await DerivedRowsAsync();
        var pages = await ScalarAsync<long>("select count(*) from module_readings");
        Assert.True(pages > 40);
        await ScalarAsync<object>("with r as (update module_readings set readings = '\\x02ff') select 1");

        await Store.RebuildAsync(Cancellation);

        Assert.Equal(before, await DerivedRowsAsync());
        Assert.Equal(20, await ScalarAsync<long>("select count(*) from module_readings"));
        Assert.Equal(
            (20 * 5) + 7, (await Organisation.Modules.ReadAsync(new(), null, Cancellation).ToListAsync(Cancellation))
                .Sum(module => module.Record.Events.Count(recorded => recorded.Body is RunHoursReadV1)));
    }

    [Fact]
    public async Task Posts_and_answers_go_on_beside_a_rebuild_and_nothing_is_lost()
    {
        await PostInManyPagesAsync();
        var rebuild = Task.Run(async () =>
        {
            for (var n = 0; n < 5; n++) await Store.RebuildAsync(Cancellation);
        }, Cancellation);
        RecordOutcome.Receipt? last = null;
        for (var day = 200; !rebuild.IsCompleted || last is null; day++)
        {
            var outcomes = await RecordAsync(
                [.. Enumerable.Range(0, 20).Select(n => Scenario.Read($"m-{n:00}", day, 500 + day))]);
            last = outcomes.OfType<RecordOutcome.Receipt>().Last();
            Assert.NotNull(await Organisation.Modules.GetAsync("m-03", null, Cancellation));
        }
        await rebuild;
        await WaitAsync(last.Revision);
        var followed = await DerivedRowsAsync();

        await Store.RebuildAsync(Cancellation);

        Assert.Equal(followed, await DerivedRowsAsync());
    }

    private async Task<int> PostInManyPagesAsync()
    {
        Assert.IsType<CatalogueOutcome.Stored>(
            await Organisation.Catalogue.CreateAsync(Scenario.Model, Scenario.Blower, Cancellation));
        var modules = Enumerable.Range(0, 20).Select(n => $"m-{n:00}").ToList();
        await RecordAndWaitAsync([.. modules.SelectMany(Scenario.WholeHistory)]);
        foreach (var day in new[] { 100, 110 })
            await RecordAndWaitAsync([.. modules.Select(module => Scenario.Read(module, day, 350 + day))]);
        // Sent before the last: late, and in part on one page with the next.
        await RecordAsync([.. modules.Take(7).Select(module => Scenario.Read(module, 95, 440))]);
        await RecordAndWaitAsync([.. modules.Take(7).Select(module => Scenario.Retracted(
            module, Scenario.Read(module, 95, 440), 120))]);
        return modules.Count;
    }
}
