using Reliability.History.Events;
using Reliability.History.Lives;
using Reliability.Store.Modules;
using Reliability.Store.Posting;
using Xunit;

namespace Reliability.Store.Tests.Modules;

public sealed class ModuleTests(SharedServer server) : StoreTest(server)
{
    private ModuleQueries Modules => Organisation.Modules;

    [Fact]
    public async Task Unresolved_events_count_once_the_rest_has_come()
    {
        var outcomes = await RecordAsync(Scenario.Read("m-1", 20, 400), Scenario.Installed("m-1"));
        Assert.All(outcomes, outcome => Assert.Equal(
            UnresolvedReason.ModuleNotRegistered, Assert.IsType<RecordOutcome.Receipt>(outcome).UnresolvedReason));
        var before = (await Modules.ListEventsAsync("m-1", null, 10, null, Cancellation))!;
        Assert.All(before.Items, item => Assert.Equal(EventStanding.Unresolved, item.Status.Standing));

        var registered = await RecordAsync(Scenario.Registered("m-1"), Scenario.Read("m-1", 30, 600));
        Assert.Equal(
            [UnresolvedReason.ModelUnknown, null],
            registered.Select(outcome => Assert.IsType<RecordOutcome.Receipt>(outcome).UnresolvedReason));
        await Organisation.Catalogue.CreateAsync(Scenario.Model, Scenario.Blower, Cancellation);
        var again = await RecordAsync(Scenario.Registered("m-1"), Scenario.Installed("m-1"));
        Assert.All(again, outcome => Assert.Null(Assert.IsType<RecordOutcome.Receipt>(outcome).UnresolvedReason));

        var after = (await Modules.ListEventsAsync("m-1", null, 10, null, Cancellation))!;
        Assert.Equal(4, after.Items.Count);
        Assert.All(after.Items, item => Assert.Equal(EventStanding.Counted, item.Status.Standing));
        var module = (await Modules.GetAsync("m-1", null, Cancellation))!;
        Assert.Equal(LifeOutcome.Survived(600), Assert.Single(module.Derived.Lives).Outcome);
    }

    [Fact]
    public async Task A_retracted_event_stays_on_record_and_stops_counting()
    {
        await Organisation.Catalogue.CreateAsync(Scenario.Model, Scenario.Blower, Cancellation);
        var wrong = Scenario.Failed("m-1", 25, 450);
        var retraction = Scenario.Retracted("m-1", wrong, 26);
        var early = await RecordAsync(retraction);
        Assert.Equal(
            UnresolvedReason.TargetMissing, Assert.IsType<RecordOutcome.Receipt>(early[0]).UnresolvedReason);

        await RecordAndWaitAsync(
            Scenario.Registered("m-1"), Scenario.Installed("m-1"), Scenario.Read("m-1", 20, 400), wrong,
            Scenario.Read("m-1", 30, 600));

        var lives = await Organisation.Lives.ReadAsync(new(), null, Cancellation).ToListAsync(Cancellation);
        Assert.Equal(LifeOutcome.Survived(600), Assert.Single(lives).Life.Outcome);
        var record = (await Modules.ListEventsAsync("m-1", null, 10, null, Cancellation))!.Items;
        Assert.Equal(6, record.Count);
        var status = record.Single(item => item.Event.EventId == wrong.EventId).Status;
        Assert.Equal(EventStanding.Retracted, status.Standing);
        Assert.Equal(retraction.EventId, status.RelatedEventId);
        Assert.Null(Assert.IsType<RecordOutcome.Receipt>((await RecordAsync(retraction))[0]).UnresolvedReason);
    }

    [Fact]
    public async Task What_was_posted_comes_back_as_it_was()
    {
        var posted = Scenario.WholeHistory("m-1")
            .Select((recorded, n) => recorded with { Note = $"note {n}", ActorId = "a-17" }).ToList();
        var started = DateTimeOffset.UtcNow.AddMinutes(-1);
        await RecordAsync(posted);

        var back = (await Modules.GetAsync("m-1", null, Cancellation))!.Record.Events;

        Assert.Equal(posted.Select(recorded => recorded.EventId), back.Select(recorded => recorded.EventId));
        Assert.Equal(posted.Select(EventContent.Hash), back.Select(EventContent.Hash));
        Assert.Equal(posted.Select(recorded => recorded.Note), back.Select(recorded => recorded.Note));
        Assert.All(back, recorded => Assert.Equal(("a-17", Scenario.Source), (recorded.ActorId, recorded.Source)));
        Assert.All(back, recorded => Assert.InRange(recorded.RecordTime, started, DateTimeOffset.UtcNow.AddMinutes(1)));
    }

    [Fact]
    public async Task Modules_are_listed_by_filter_in_pages()
    {
        await Organisation.Catalogue.CreateAsync(Scenario.Model, Scenario.Blower, Cancellation);
        await RecordAndWaitAsync(
        [
            .. Enumerable.Range(0, 5).SelectMany(n => Scenario.WholeHistory($"m-{n}")),
            Scenario.Registered("shelf-1"), Scenario.Registered("shelf-2", model: "other"),
        ]);

        Assert.Equal(7, (await ListAsync(new())).Count);
        Assert.Equal(["shelf-1", "shelf-2"], await ListAsync(new() { State = ModuleState.OnShelf }));
        Assert.Equal(["shelf-2"], await ListAsync(new() { Model = "other" }));
        Assert.Equal(["m-3"], await ListAsync(new() { HostDevice = "host-m-3" }));
        Assert.Equal(["m-2"], await ListAsync(new() { SerialNumber = "SN-m-2", Site = "Quennick General" }));
        Assert.Empty(await ListAsync(new() { AssetNumber = "SN-m-2" }));
        Assert.Equal(
            ["m-0", "m-1", "m-2", "m-3", "m-4"],
            await ListAsync(new() { RefurbishmentCount = 1, Refurbisher = "Second Turn Bench", Lot = "lot-7" }));
        Assert.Equal(["m-4"], await Modules.FindByIdentifierAsync(IdentifierKind.Serial, "SN-m-4", Cancellation));
        Assert.Equal(
            await ListAsync(new()),
            await Modules.ReadAsync(new(), null, Cancellation)
                .Select(module => module.Record.ModuleId).ToListAsync(Cancellation));
    }

    [Fact]
    public async Task The_stored_summary_is_that_of_the_record()
    {
        await Organisation.Catalogue.CreateAsync(Scenario.Model, Scenario.Blower, Cancellation);
        await RecordAndWaitAsync([.. Scenario.WholeHistory("m-1"), Scenario.Read("m-1", 95, 90_000)]);

        var stored = Assert.Single((await Modules.ListAsync(new(), null, 10, null, Cancellation)).Items);
        var derived = (await Modules.GetAsync("m-1", null, Cancellation))!.Summarise();

        Assert.Equal(derived.Revision, stored.Revision);
        Assert.Equal(2, stored.Summary.LifeCount);
        Assert.Equal(2, stored.Summary.CurrentLife!.Number);
        Assert.Equal(HoursRange.Known(350), stored.Summary.Module.Age);
        var odd = Assert.Single(stored.Summary.OddEvents);
        Assert.Equal("m-1-read-95", odd.OriginalId);
        Assert.Equal([RecordOddity.ReadingLeftOut], odd.Flags);
        Assert.Equal(
            System.Text.Json.JsonSerializer.Serialize(derived.Summary),
            System.Text.Json.JsonSerializer.Serialize(stored.Summary));
    }

    [Fact]
    public async Task A_module_of_which_nothing_is_on_record_is_not_found()
    {
        Assert.Null(await Modules.GetAsync("none", null, Cancellation));
        Assert.Null(await Modules.ListEventsAsync("none", null, 10, null, Cancellation));
    }

    [Fact]
    public async Task Pages_of_a_record_are_the_whole_record_in_order()
    {
        await RecordAsync(Scenario.WholeHistory("m-1"));
        var whole = (await Modules.ListEventsAsync("m-1", null, 100, null, Cancellation))!;
        Assert.Null(whole.Next);
        Assert.Equal(9, whole.Items.Count);

        var paged = new List<Guid>();
        var page = await Modules.ListEventsAsync("m-1", null, 4, null, Cancellation);
        for (; page!.Next is not null; page = await Modules.ListEventsAsync("m-1", null, 4, page.Next, Cancellation))
            paged.AddRange(page.Items.Select(item => item.Event.EventId));
        paged.AddRange(page.Items.Select(item => item.Event.EventId));

        Assert.Equal(whole.Items.Select(item => item.Event.EventId), paged);
    }

    private async Task<List<string>> ListAsync(ModuleFilter filter)
    {
        var ids = new List<string>();
        var page = await Modules.ListAsync(filter, null, 3, null, Cancellation);
        while (true)
        {
            ids.AddRange(page.Items.Select(stored => stored.Summary.Module.ModuleId));
            if (page.Next is null) return ids;
            page = await Modules.ListAsync(filter, null, 3, page.Next, Cancellation);
        }
    }
}
