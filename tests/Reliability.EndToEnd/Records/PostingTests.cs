using Grpc.Core;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;
using static Reliability.EndToEnd.Records.Posting;

namespace Reliability.EndToEnd.Records;

/// <summary>What is posted is there once, whatever the order and however often it is posted.</summary>
public sealed class PostingTests(SharedService shared)
{
    private ServiceClients Clients => shared.Clients;

    [Fact]
    public async Task The_same_event_again_changes_nothing_and_returns_the_first_receipt()
    {
        var posting = new Posting(Clients, "again");
        var posted = posting.Event("e1", "modules/again", Time(2024, 1, 1), e => e.RunHoursRead = Read(5));
        var first = Assert.Single(await posting.ReceiptsAsync(posted));
        await posting.ReceiptsAsync(posting.Event("e2", "modules/again", Time(2024, 1, 2), e => e.RunHoursRead = Read(6)));

        // A note says nothing of what happened: it may be another one.
        var noted = new ModuleEvent(posted) { Note = "sent again" };
        var again = await posting.ReceiptsAsync(posted, noted);

        Assert.False(first.Duplicate);
        Assert.All(again, receipt => Assert.True(receipt.Duplicate));
        Assert.All(again, receipt => Assert.Equal(first.Revision, receipt.Revision));
        Assert.Equal(2, (await RecordAsync("modules/again")).Count);
    }

    [Fact]
    public async Task The_same_id_with_another_body_is_refused_and_the_first_stands()
    {
        var posting = new Posting(Clients, "other-body");
        await posting.ReceiptsAsync(posting.Event("e1", "modules/other-body", Time(2024, 1, 1), e => e.RunHoursRead = Read(5)));

        var result = Assert.Single(await posting.ResultsAsync(
            posting.Event("e1", "modules/other-body", Time(2024, 1, 1), e => e.RunHoursRead = Read(7))));

        Assert.Equal((int)StatusCode.AlreadyExists, result.Error.Code);
        Assert.Equal("EVENT_ID_REUSED", StatusDetails.Reason(result.Error));
        Assert.Equal(["events[0].event_id"], StatusDetails.Fields(result.Error));
        var kept = Assert.Single(await RecordAsync("modules/other-body"));
        Assert.Equal(5, kept.Event.RunHoursRead.Readings[0].Hours);
    }

    [Fact]
    public async Task An_event_that_lies_ahead_is_taken_and_told_of()
    {
        var posting = new Posting(Clients, "ahead");
        ModuleEvent[] events =
        [
            posting.Event("e1", "modules/ahead", Time(2024, 1, 1), e => e.RunHoursRead = Read(5)),
            posting.Event("e2", "modules/ahead", Time(2924, 1, 1), e => e.RunHoursRead = Read(6)),
            posting.Event("e3", "modules/ahead", Time(2024, 1, 2), e => e.RunHoursRead = Read(7)),
        ];

        var first = await posting.ReceiptsAsync(events);
        var again = await posting.ReceiptsAsync(events);

        foreach (var receipts in new[] { first, again })
        {
            Assert.Equal("FUTURE_TIMES", Assert.Single(receipts[1].Warnings).Code);
            Assert.Empty(receipts[0].Warnings);
            Assert.Empty(receipts[2].Warnings);
        }

        Assert.Equal(3, (await RecordAsync("modules/ahead")).Count);
    }

    [Fact]
    public async Task Another_source_may_use_the_same_id()
    {
        await new Posting(Clients, "source-a").ReceiptsAsync(
            new Posting(Clients, "source-a").Event("e1", "modules/sources", Time(2024, 1, 1), e => e.RunHoursRead = Read(5)));
        await new Posting(Clients, "source-b").ReceiptsAsync(
            new Posting(Clients, "source-b").Event("e1", "modules/sources", Time(2024, 1, 1), e => e.RunHoursRead = Read(7)));

        Assert.Equal(["source-a", "source-b"], (await RecordAsync("modules/sources")).Select(e => e.Event.Source).Order());
    }

    [Fact]
    public async Task Checking_alone_records_nothing()
    {
        var posting = new Posting(Clients, "check");
        var request = new RecordEventsRequest
        {
            ValidateOnly = true,
            Events = { posting.Event("e1", "modules/check", Time(2024, 1, 1), e => e.RunHoursRead = Read(5)) },
        };
        request.Events.Add(new ModuleEvent(request.Events[0]) { EventId = "" });

        var response = await Clients.History.RecordEventsAsync(request, cancellationToken: TestContext.Current.CancellationToken);

        Assert.Equal(RecordEventResult.OutcomeOneofCase.Receipt, response.Results[0].OutcomeCase);
        Assert.Equal(["events[1].event_id"], StatusDetails.Fields(response.Results[1].Error));
        var missing = await Assert.ThrowsAsync<RpcException>(() => RecordAsync("modules/check"));
        Assert.Equal(StatusCode.NotFound, missing.StatusCode);
        Assert.Equal("RESOURCE_NOT_FOUND", StatusDetails.Reason(StatusDetails.Of(missing)));
    }

    [Fact]
    public async Task An_event_that_comes_too_early_waits_and_counts_once_the_rest_comes()
    {
        var posting = new Posting(Clients, "early");
        const string Module = "modules/early";
        var early = Assert.Single(await posting.ReceiptsAsync(
            posting.Event("e3", Module, Time(2024, 3, 1), e => e.Removed = new() { Reason = RemovalReason.Planned, ReadingHours = 700 })));

        Assert.NotEmpty(early.UnresolvedReason);
        var waiting = Assert.Single(await RecordAsync(Module));
        Assert.Equal(EventStanding.Unresolved, waiting.Standing);
        Assert.NotEmpty(waiting.ReasonText);
        Assert.Equal(1, (await ModuleAsync(Module)).UnresolvedEventCount);

        await posting.ReceiptsAsync(
            posting.Event("e2", Module, Time(2024, 1, 2), e => e.Installed = new() { HostDevice = "h", ReadingHours = 0, Site = "Velsham Children's" }),
            posting.Event("e1", Module, Time(2024, 1, 1), e => e.Registered = new() { ModuleModel = "moduleModels/early-lamp", AgeHours = 0, ReadingHours = 0 }));
        await ModelAsync(Clients, "early-lamp", 2000);

        var module = await ModuleAsync(Module);
        Assert.Equal(0, module.UnresolvedEventCount);
        Assert.Equal(["e1", "e2", "e3"], (await RecordAsync(Module)).Select(e => e.Event.EventId));
        Assert.All(await RecordAsync(Module), e => Assert.Equal(EventStanding.Counted, e.Standing));
    }

    [Fact]
    public async Task A_retraction_takes_an_event_out_and_its_retraction_brings_it_back()
    {
        var posting = new Posting(Clients, "retract");
        const string Module = "modules/retract";
        await ModelAsync(Clients, "retract-lamp", 2000);
        await posting.ReceiptsAsync(
            posting.Event("e1", Module, Time(2024, 1, 1), e => e.Registered = new() { ModuleModel = "moduleModels/retract-lamp", AgeHours = 0, ReadingHours = 0 }),
            posting.Event("e2", Module, Time(2024, 1, 1), e => e.Installed = new() { HostDevice = "h", ReadingHours = 0 }),
            posting.Event("e3", Module, Time(2024, 2, 1), e => e.RunHoursRead = Read(300)),
            posting.Event("e4", Module, Time(2024, 3, 1), e => e.RunHoursRead = Read(600)));
        Assert.Equal(600, (await ModuleAsync(Module)).Age.LowerHours);

        await posting.ReceiptsAsync(posting.Event(
            "e5", Module, Time(2024, 3, 2), e => e.Retracted = new() { TargetSource = "retract", TargetEventId = "e4" }));
        Assert.Equal(300, (await ModuleAsync(Module)).Age.LowerHours);
        Assert.Equal(EventStanding.Retracted, (await RecordAsync(Module)).Single(e => e.Event.EventId == "e4").Standing);

        await posting.ReceiptsAsync(posting.Event(
            "e6", Module, Time(2024, 3, 3), e => e.Retracted = new() { TargetSource = "retract", TargetEventId = "e5" }));
        Assert.Equal(600, (await ModuleAsync(Module)).Age.LowerHours);
    }

    [Fact]
    public async Task A_module_posted_by_its_serial_number_is_found_by_it()
    {
        var posting = new Posting(Clients, "serial");
        var receipts = await posting.ReceiptsAsync(
            posting.Event("e1", "serial:SN 77/A", Time(2024, 1, 1), e => e.Registered = new() { ModuleModel = "moduleModels/serial-lamp", AgeHours = 0 }),
            posting.Event("e2", "serial:SN 77/A", Time(2024, 1, 2), e => e.RunHoursRead = Read(3)));

        var found = await Clients.History.ListModulesAsync(
            new ListModulesRequest { Filter = "serial_number = \"SN 77/A\"", MinimumRevision = receipts[^1].Revision },
            cancellationToken: TestContext.Current.CancellationToken);

        var module = Assert.Single(found.Modules);
        Assert.Equal(["SN 77/A"], module.Identifiers.Select(identifier => identifier.Value));
        Assert.Equal(2, (await RecordAsync(module.Name)).Count);
    }

    [Fact]
    public async Task A_day_is_kept_as_the_local_day()
    {
        var posting = new Posting(Clients, "zone");
        // The day on which summer time began in Lisbon: 23 hours long.
        var posted = posting.Event("e1", "modules/zone", Time(2024, 3, 31, 12), e => e.RunHoursRead = Read(3));
        (posted.OccurPrecision, posted.Zone) = (OccurPrecision.Day, "Europe/Lisbon");
        await posting.ReceiptsAsync(posted);

        var kept = Assert.Single(await RecordAsync("modules/zone")).Event;

        Assert.Equal(Time(2024, 3, 31, 0), kept.OccurTime);
        Assert.Equal(("Europe/Lisbon", OccurPrecision.Day), (kept.Zone, kept.OccurPrecision));
    }

    private static RunHoursRead Read(double hours) => new() { Readings = { new MeterReading { Hours = hours } } };

    private async Task<Module> ModuleAsync(string name) => await Clients.History.GetModuleAsync(
        new GetModuleRequest { Name = name }, cancellationToken: TestContext.Current.CancellationToken);

    private async Task<IReadOnlyList<RecordedEvent>> RecordAsync(string name)
    {
        var response = await Clients.History.ListModuleEventsAsync(
            new ListModuleEventsRequest { Parent = name }, cancellationToken: TestContext.Current.CancellationToken);
        return response.Events;
    }
}
