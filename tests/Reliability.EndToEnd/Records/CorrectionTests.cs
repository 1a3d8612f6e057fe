using System.Net.Http.Json;
using System.Text.Json;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;
using static Reliability.EndToEnd.Records.Posting;

namespace Reliability.EndToEnd.Records;

/// <summary>Wrong events are put right with further events, and the record shows both.</summary>
public sealed class CorrectionTests(SharedService shared)
{
    private ServiceClients Clients => shared.Clients;

    [Fact]
    public async Task A_replaced_event_stays_in_the_record_and_the_right_one_counts()
    {
        const string Module = "modules/replace";
        var posting = new Posting(Clients, "replace");
        await ModelAsync(Clients, "replace-lamp", 2000);
        // The replacement comes first: it waits for the event that it puts right.
        var early = Assert.Single(await posting.ReceiptsAsync(Replacement(posting, "e4", Module, "e3", 310)));
        Assert.Equal("TARGET_MISSING", early.UnresolvedReason);
        await posting.ReceiptsAsync(
            posting.Event("e1", Module, Time(2024, 1, 1), e => e.Registered = new() { ModuleModel = "moduleModels/replace-lamp", AgeHours = 0, ReadingHours = 0 }),
            posting.Event("e2", Module, Time(2024, 1, 1), e => e.Installed = new() { HostDevice = "h", ReadingHours = 0 }),
            posting.Event("e3", Module, Time(2024, 2, 1), e => e.RunHoursRead = Read(450)));

        Assert.Equal(310, (await ModuleAsync(Module)).Age.LowerHours);
        var record = await RecordAsync(Module);
        var (wrong, right) = (record.Single(e => e.Event.EventId == "e3"), record.Single(e => e.Event.EventId == "e4"));
        Assert.Equal((EventStanding.Replaced, "REPLACED", "replace", "e4"), (wrong.Standing, wrong.Reason, wrong.RelatedSource, wrong.RelatedEventId));
        Assert.Equal(EventStanding.Counted, right.Standing);
        Assert.Equal(("e3", 310), (right.Event.Replaced.TargetEventId, right.Event.Replaced.Event.RunHoursRead.Readings[0].Hours));

        // Again, replaced in turn, and both taken back one after the other.
        await posting.ReceiptsAsync(Replacement(posting, "e5", Module, "e4", 320));
        Assert.Equal(320, (await ModuleAsync(Module)).Age.LowerHours);
        await posting.ReceiptsAsync(posting.Event(
            "e6", Module, Time(2024, 6, 1), e => e.Retracted = new() { TargetSource = "replace", TargetEventId = "e5" }));
        Assert.Equal(310, (await ModuleAsync(Module)).Age.LowerHours);
        await posting.ReceiptsAsync(posting.Event(
            "e7", Module, Time(2024, 6, 1), e => e.Retracted = new() { TargetSource = "replace", TargetEventId = "e4" }));
        Assert.Equal(450, (await ModuleAsync(Module)).Age.LowerHours);
    }

    [Fact]
    public async Task A_replacement_is_posted_as_json_and_read_back()
    {
        var token = TestContext.Current.CancellationToken;
        var answer = await Clients.Http.PostAsJsonAsync("/v1/events:record", new
        {
            events = new[]
            {
                new
                {
                    eventId = "j1", source = "replace-json", module = "modules/replace-json", occurTime = "2024-05-01T00:00:00Z",
                    replaced = new
                    {
                        targetSource = "replace-json", targetEventId = "j0",
                        @event = new { occurTime = "2024-04-01T00:00:00Z", failed = new { failureMode = "no light" } },
                    },
                },
            },
        }, token);
        Assert.True(answer.IsSuccessStatusCode, await answer.Content.ReadAsStringAsync(token));

        var record = await Clients.Http.GetFromJsonAsync<JsonElement>("/v1/modules/replace-json/events", token);

        Assert.Equal("no light", record.GetProperty("events")[0].GetProperty("event").GetProperty("replaced")
            .GetProperty("event").GetProperty("failed").GetProperty("failureMode").GetString());
    }

    [Fact]
    public async Task An_event_of_another_module_is_not_corrected()
    {
        var posting = new Posting(Clients, "elsewhere");
        await posting.ReceiptsAsync(
            posting.Event("e1", "modules/elsewhere-a", Time(2024, 1, 1), e => e.RunHoursRead = Read(5)),
            posting.Event("e2", "modules/elsewhere-b", Time(2024, 2, 1), e => e.Retracted = new() { TargetSource = "elsewhere", TargetEventId = "e1" }),
            Replacement(posting, "e3", "modules/elsewhere-b", "e1", 7));

        Assert.Equal("MODULE_NOT_REGISTERED", Assert.Single(await RecordAsync("modules/elsewhere-a")).Reason);
        Assert.All(await RecordAsync("modules/elsewhere-b"), e => Assert.Equal("TARGET_MISSING", e.Reason));
    }

    private static ModuleEvent Replacement(Posting posting, string id, string module, string target, double hours) =>
        posting.Event(id, module, Time(2024, 5, 1), e => e.Replaced = new()
        {
            TargetSource = e.Source,
            TargetEventId = target,
            Event = new() { OccurTime = Time(2024, 2, 2), RunHoursRead = Read(hours) },
        });

    private static RunHoursRead Read(double hours) => new() { Readings = { new MeterReading { Hours = hours } } };

    private async Task<Module> ModuleAsync(string name) => await Clients.History.GetModuleAsync(
        new GetModuleRequest { Name = name }, cancellationToken: TestContext.Current.CancellationToken);

    private async Task<IReadOnlyList<RecordedEvent>> RecordAsync(string name) => (await Clients.History.ListModuleEventsAsync(
        new ListModuleEventsRequest { Parent = name }, cancellationToken: TestContext.Current.CancellationToken)).Events;
}
