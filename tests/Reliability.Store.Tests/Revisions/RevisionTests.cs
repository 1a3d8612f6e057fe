using Reliability.Store.Posting;
using Reliability.Store.Revisions;
using Xunit;

namespace Reliability.Store.Tests.Revisions;

public sealed class RevisionTests(SharedServer server) : StoreTest(server)
{
    private RevisionQueries Revisions => Organisation.Revisions;

    [Fact]
    public async Task After_the_wait_the_lives_have_taken_the_event_in()
    {
        for (var n = 0; n < 10; n++)
        {
            var receipt = (RecordOutcome.Receipt)(await RecordAsync(Scenario.Registered($"m-{n}")))[0];

            var waited = await Revisions.WaitAsync(receipt.Revision, TimeSpan.FromSeconds(20), Cancellation);

            Assert.Equal(RevisionWait.Reached, waited);
            Assert.Equal(n + 1, await ScalarAsync<long>("select count(*) from module_state"));
        }
    }

    [Fact]
    public async Task A_wait_for_lives_that_do_not_follow_times_out()
    {
        await using var other = await StoreWithoutProjectionsAsync();
        await Store.DisposeAsync();
        var receipt = (RecordOutcome.Receipt)(await other.Default.Events.RecordAsync(
            [Scenario.Registered("m-1")], Cancellation))[0];

        var waited = await other.Default.Revisions.WaitAsync(
            receipt.Revision, TimeSpan.FromMilliseconds(200), Cancellation);

        Assert.Equal(RevisionWait.TimedOut, waited);
        var health = await other.CheckHealthAsync(Cancellation);
        Assert.True(health.Ready);
        Assert.True(health.LivesPosition < health.LogPosition);
        Assert.True(health.LivesLag > TimeSpan.Zero);
    }

    [Fact]
    public async Task A_revision_of_nobody_or_of_another_organisation_is_told_at_once()
    {
        await RecordAsync(Scenario.Registered("m-1"));

        Assert.Equal(
            RevisionWait.Unknown,
            await Revisions.WaitAsync(new Revision("default", 1_000_000, 0), TimeSpan.FromMinutes(5), Cancellation));
        Assert.Equal(
            RevisionWait.OtherOrganisation,
            await Revisions.WaitAsync(new Revision("velsham", 1, 0), TimeSpan.FromMinutes(5), Cancellation));
    }

    [Fact]
    public async Task Another_store_takes_the_projections_over()
    {
        var second = await StartStoreAsync();
        await RecordAndWaitAsync(Scenario.Registered("m-1"));
        await Store.DisposeAsync();

        var receipt = (RecordOutcome.Receipt)(await second.Default.Events.RecordAsync(
            [Scenario.Registered("m-2")], Cancellation))[0];

        Assert.Equal(
            RevisionWait.Reached,
            await second.Default.Revisions.WaitAsync(receipt.Revision, TimeSpan.FromSeconds(30), Cancellation));
        Assert.Equal(2, await ScalarAsync<long>("select count(*) from module_state"));
    }

    [Theory]
    [InlineData("")]
    [InlineData("!")]
    [InlineData("MXwyfDM")]
    [InlineData("MXwtMXwwfGRlZmF1bHQ")]
    public void What_is_no_revision_is_not_read(string text) => Assert.False(Revision.TryParse(text, out _));

    [Fact]
    public void Revisions_are_read_back()
    {
        var revision = new Revision("default", long.MaxValue, 42);

        Assert.True(Revision.TryParse(revision.ToString(), out var back));
        Assert.Equal(revision, back);
        Assert.Matches("^[A-Za-z0-9_-]+$", revision.ToString());
    }

    private async Task<ReliabilityStore> StoreWithoutProjectionsAsync()
    {
        var store = new ReliabilityStore(
            Options with { RunProjections = false },
            Microsoft.Extensions.Logging.Abstractions.NullLoggerFactory.Instance);
        await store.StartAsync(Cancellation);
        return store;
    }
}
