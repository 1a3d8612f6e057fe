using Reliability.History.Events;
using Reliability.History.Lives;
using Xunit;

namespace Reliability.Store.Tests.Lives;

/// <summary>What samples read of lives is what whole lives say.</summary>
public sealed class SampleRowTests(SharedServer server) : StoreTest(server)
{
    [Fact]
    public async Task Columns_say_of_every_kind_of_life_what_the_whole_life_says()
    {
        await Organisation.Catalogue.CreateAsync(Scenario.Model, Scenario.Blower, Cancellation);
        await RecordAndWaitAsync(
            [
                .. Scenario.WholeHistory("m-1"),
                // Ambiguous: removed for low output that nobody measured.
                Scenario.Registered("m-2"), Scenario.Installed("m-2"), Scenario.Read("m-2", 20, 400),
                Scenario.Event("m-2", "m-2-removed", 30, new RemovedV1 { Reason = RemovalReason.LowOutput, ReadingHours = 500 }),
                // Flagged: the age at the failure rests on a reading that no clock allows.
                Scenario.Registered("m-3"), Scenario.Installed("m-3"), Scenario.Read("m-3", 20, 400), Scenario.Failed("m-3", 45, 90_000),
                // Excluded: its model is not in the catalogue.
                Scenario.Registered("m-4", "none-such"), Scenario.Installed("m-4"), Scenario.Read("m-4", 20, 400),
                // Failed between two ages.
                Scenario.Registered("m-5"), Scenario.Installed("m-5"), Scenario.Read("m-5", 20, 400),
                Scenario.Event("m-5", "m-5-failed", 30, new FailedV1 { Mode = "seal", ReadingHours = 500, ReadingIs = FailureReading.Discovery }),
                Scenario.Registered("m-6"), Scenario.Installed("m-6"), Scenario.Read("m-6", 20, 400),
            ]);
        // Goes on from its row.
        await RecordAndWaitAsync(Scenario.Read("m-6", 25, 500));

        var whole = await WholeAsync();

        Assert.Equal(whole.Select(Text), (await ReadAsync()).Select(Text));
        Assert.Contains(whole, life => life.Ambiguities.Count > 0);
        Assert.Contains(whole, life => life.Flags.Count > 0);
        Assert.Contains(whole, life => life.Exclusion is not null);
        Assert.Contains(whole, life => life.Outcome?.Kind == OutcomeKind.Between);
        Assert.Contains(whole, life => life.Outcome?.Kind == OutcomeKind.Failed);
        Assert.Contains(whole, life => life is { InService: true, RatedHours: 20_000 } && life.Outcome == LifeOutcome.Survived(500));

        // Rows of before there were these columns.
        await ScalarAsync<object>(
            "with u as (update lives set end_time = null, in_service = null, rated_hours = null, ambiguities = null) select 1");
        Assert.Equal(whole.Select(Text), (await ReadAsync()).Select(Text));
        await Store.RebuildAsync(Cancellation);
        Assert.Equal(0, await ScalarAsync<long>("select count(*) from lives where in_service is null"));
        Assert.Equal(whole.Select(Text), (await ReadAsync()).Select(Text));
    }

    private async Task<List<LifeInSample>> WholeAsync() =>
        await Organisation.Lives.ReadAsync(LifeFilter.All, null, Cancellation)
            .Select(stored => LifeInSample.Of(stored.Life)).ToListAsync(Cancellation);

    private async Task<List<LifeInSample>> ReadAsync()
    {
        var lives = new List<LifeInSample>();
        await Organisation.Lives.ReadForSampleAsync(LifeFilter.All, lives.Add, Cancellation);
        return lives;
    }

    private static string Text(LifeInSample life) =>
        (life with { Flags = [], Ambiguities = [] }) + string.Join(',', life.Flags) + ';' + string.Join(',', life.Ambiguities);
}
