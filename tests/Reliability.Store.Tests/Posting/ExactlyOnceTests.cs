using Reliability.History.Events;
using Reliability.Store.Posting;
using Xunit;

namespace Reliability.Store.Tests.Posting;

public sealed class ExactlyOnceTests(SharedServer server) : StoreTest(server)
{
    [Fact]
    public async Task A_post_is_on_record_once_with_a_receipt_each()
    {
        var outcomes = await RecordAsync([.. Scenario.WholeHistory("m-1")]);

        Assert.All(outcomes, outcome => Assert.False(Assert.IsType<RecordOutcome.Receipt>(outcome).Duplicate));
        Assert.Equal(outcomes.Count, (await RecordedIdsAsync()).Count);
        Assert.Equal(outcomes.Count, await ScalarAsync<long>("select count(*) from posted_event"));
    }

    [Fact]
    public async Task A_repost_changes_nothing_and_returns_the_first_receipt()
    {
        var events = Scenario.WholeHistory("m-1");
        var first = await RecordAsync([.. events]);
        await RecordAsync(Scenario.Registered("m-2"));

        var second = await RecordAsync([.. events.Select(posted => posted with { Note = "again", ActorId = "a-2" })]);

        Assert.All(second, outcome => Assert.True(Assert.IsType<RecordOutcome.Receipt>(outcome).Duplicate));
        Assert.Equal(
            first.Cast<RecordOutcome.Receipt>().Select(receipt => receipt.Revision),
            second.Cast<RecordOutcome.Receipt>().Select(receipt => receipt.Revision));
        Assert.Equal(events.Count + 1, (await RecordedIdsAsync()).Count);
    }

    [Fact]
    public async Task The_same_id_with_another_body_is_refused_and_the_first_stands()
    {
        var right = Scenario.Read("m-1", 20, 400);
        var other = right with { Body = ((RunHoursReadV1)right.Body) with { Readings = [MeterReading.AtInstant(Scenario.Start, 1)] } };
        await RecordAsync(right);

        var outcomes = await RecordAsync(other, Scenario.Read("m-1", 21, 410), right);

        Assert.IsType<RecordOutcome.OtherBody>(outcomes[0]);
        Assert.False(Assert.IsType<RecordOutcome.Receipt>(outcomes[1]).Duplicate);
        Assert.True(Assert.IsType<RecordOutcome.Receipt>(outcomes[2]).Duplicate);
        var record = (await Organisation.Modules.GetAsync("m-1", null, Cancellation))!.Record;
        Assert.Equal(
            [400, 410], record.Events.Select(stored => ((RunHoursReadV1)stored.Body).Readings[0].Hours).Order());
    }

    [Fact]
    public async Task Repetitions_inside_a_post_are_told_apart_from_contradictions()
    {
        var right = Scenario.Read("m-1", 20, 400);
        var other = right with { Occurrence = Occurrence.AtInstant(Scenario.Start) };

        var outcomes = await RecordAsync(right, right, other);

        Assert.False(Assert.IsType<RecordOutcome.Receipt>(outcomes[0]).Duplicate);
        Assert.True(Assert.IsType<RecordOutcome.Receipt>(outcomes[1]).Duplicate);
        Assert.IsType<RecordOutcome.OtherBody>(outcomes[2]);
        Assert.Equal(1, await ScalarAsync<long>("select count(*) from mt_events"));
    }

    [Fact]
    public async Task Checking_says_what_posting_would_say_and_records_nothing()
    {
        var there = Scenario.Registered("m-1");
        await RecordAsync(there);
        var other = there with { Occurrence = Occurrence.AtInstant(Scenario.Start.AddDays(-1)) };
        var read = Scenario.Read("m-2", 20, 400);

        var outcomes = await Organisation.Events.CheckAsync([there, other, read, read], Cancellation);

        Assert.True(Assert.IsType<RecordOutcome.Receipt>(outcomes[0]).Duplicate);
        Assert.IsType<RecordOutcome.OtherBody>(outcomes[1]);
        Assert.False(Assert.IsType<RecordOutcome.Receipt>(outcomes[2]).Duplicate);
        Assert.True(Assert.IsType<RecordOutcome.Receipt>(outcomes[3]).Duplicate);
        Assert.Equal(1, await ScalarAsync<long>("select count(*) from mt_events"));
        Assert.Equal(1, await ScalarAsync<long>("select count(*) from posted_event"));
    }

    [Fact]
    public async Task Two_stores_posting_the_same_events_shuffled_and_in_parallel_record_each_once()
    {
        var second = await StartStoreAsync();
        var events = Enumerable.Range(0, 60).SelectMany(n => Scenario.WholeHistory($"m-{n}")).ToArray();

        var posts = Enumerable.Range(1, 4).Select(async seed =>
        {
            var shuffled = events.ToArray();
            new Random(seed).Shuffle(shuffled);
            var log = (seed % 2 == 0 ? Store : second).Default.Events;
            var fresh = 0;
            foreach (var batch in shuffled.Chunk(50))
                fresh += (await log.RecordAsync(batch, Cancellation))
                    .Count(outcome => !Assert.IsType<RecordOutcome.Receipt>(outcome).Duplicate);
            return fresh;
        });
        var freshReceipts = (await Task.WhenAll(posts)).Sum();

        Assert.Equal(events.Length, freshReceipts);
        var recorded = await RecordedIdsAsync();
        Assert.Equal(events.Length, recorded.Count);
        Assert.Equal(events.Length, recorded.Distinct().Count());
    }

    [Fact]
    public async Task Organisations_do_not_see_each_other()
    {
        var here = Scenario.Registered("m-1");
        var there = Scenario.Event(
            "m-1", here.OriginalId, 5, new RegisteredV1 { Model = "other" }, organisation: "velsham");
        await RecordAsync(here);

        var outcomes = await Store.For("velsham").Events.RecordAsync([there], Cancellation);

        Assert.False(Assert.IsType<RecordOutcome.Receipt>(outcomes[0]).Duplicate);
        Assert.Equal(
            Scenario.Model, (await Organisation.Modules.GetAsync("m-1", null, Cancellation))!.Derived.ModelId);
        Assert.Equal(
            "other", (await Store.For("velsham").Modules.GetAsync("m-1", null, Cancellation))!.Derived.ModelId);
    }
}
