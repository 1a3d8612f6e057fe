using Xunit;

namespace Reliability.Store.Tests.Lives;

/// <summary>Of the modules that were ever fitted in a host, a reading has those derived again that were there when it was taken.</summary>
public sealed class HostScopeTests(SharedServer server) : StoreTest(server)
{
    private const string Host = "Ward 3/vent 7";

    [Fact]
    public async Task A_reading_touches_who_was_there_then()
    {
        await SwapAsync();
        var before = await WritesAsync();

        await RecordAndWaitAsync(HostFleet.Read(Host, 50, 850));
        var today = await WritesAsync();
        await RecordAndWaitAsync(HostFleet.Read(Host, 10, 250));
        var late = await WritesAsync();

        Assert.Equal(before["m-1"], today["m-1"]);
        Assert.NotEqual(before["m-2"], today["m-2"]);
        Assert.NotEqual(today["m-1"], late["m-1"]);
        Assert.Equal(today["m-2"], late["m-2"]);
        Assert.Equal([450, 300], await HoursAsync());

        // A change of the meter is no reading: it may be of anybody.
        await RecordAndWaitAsync(HostFleet.MeterChanged(Host, 60, 1_000), HostFleet.Read(Host, 70, 90));
        Assert.NotEqual(late["m-1"], (await WritesAsync())["m-1"]);
        Assert.Equal([450, 450 + 90], await HoursAsync());
    }

    [Fact]
    public async Task The_ends_of_a_stay_are_in_it_whatever_is_posted_late()
    {
        await SwapAsync();
        await RecordAndWaitAsync(HostFleet.Read(Host, 20, 400), HostFleet.Read(Host, 55, 925));
        Assert.Equal([450, 375], await HoursAsync());

        // It came back earlier than anybody knew, and went again: the late install and removal bring what was read by then.
        await RecordAndWaitAsync(HostFleet.Read(Host, 80, 1_300));
        await RecordAndWaitAsync(HostFleet.Removed("m-2", 60, 1_000));
        await RecordAndWaitAsync(HostFleet.Installed("m-1", Host, 60, 1_000));
        Assert.Equal([450 + 300, 450], await HoursAsync());

        // The stay is still known when the removal that ended it is taken back.
        await RecordAndWaitAsync(HostFleet.Read(Host, 30, 550), HostFleet.Read(Host, 85, 1_400));
        Assert.Equal([450 + 400, 450], await HoursAsync());
        await AssertRebuiltTheSameAsync();
    }

    [Fact]
    public async Task A_reading_that_a_correction_waits_for_touches_whom_the_correction_tells_of()
    {
        await SwapAsync();
        var wrong = HostFleet.Read(Host, 12, 9_000);
        await RecordAndWaitAsync(HostFleet.Replaced(Host, wrong, 50, 850));
        Assert.Equal([450, 0], (await HoursAsync()).Select(hours => hours ?? 0));

        // Taken while m-1 was there by its own words; by the right ones while m-2 was.
        await RecordAndWaitAsync(wrong);

        Assert.Equal([450, 300], await HoursAsync());
        await AssertRebuiltTheSameAsync();
    }

    [Fact]
    public async Task Rows_of_a_version_that_did_not_know_when_are_derived_at_every_reading()
    {
        await SwapAsync();
        await ScalarAsync<object>("with u as (update module_host set fitted_from = null, fitted_to = null) select 1");
        var before = await WritesAsync();

        await RecordAndWaitAsync(HostFleet.Read(Host, 50, 850));

        Assert.All(await WritesAsync(), written => Assert.NotEqual(before[written.Key], written.Value));
    }

    private async Task SwapAsync()
    {
        await Organisation.Catalogue.CreateAsync(Scenario.Model, Scenario.Blower, Cancellation);
        await RecordAndWaitAsync(
            Scenario.Registered("m-1"), HostFleet.Installed("m-1", Host, 1, 100), HostFleet.Removed("m-1", 30, 550),
            Scenario.Registered("m-2"), HostFleet.Installed("m-2", Host, 30, 550));
    }

    /// <summary>The transaction that wrote each module's row.</summary>
    private async Task<Dictionary<string, string>> WritesAsync() =>
        (await ScalarAsync<string[]>("select array_agg(module || '=' || xmin::text) from module_state"))
            .Select(row => row.Split('=')).ToDictionary(row => row[0], row => row[1]);

    private async Task<IReadOnlyList<double?>> HoursAsync() =>
    [
        .. (await Organisation.Lives.ReadAsync(new(), null, Cancellation).ToListAsync(Cancellation))
            .Select(stored => stored.Life.Outcome?.LowerHours),
    ];

    private async Task AssertRebuiltTheSameAsync()
    {
        var rows = await DerivedRowsAsync();
        await Store.RebuildAsync(Cancellation);
        Assert.Equal(rows, await DerivedRowsAsync());
    }
}
