using Google.Protobuf.WellKnownTypes;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.Records;

/// <summary>Posts events of one source, with less to write.</summary>
internal sealed class Posting(ServiceClients clients, string source)
{
    public static Timestamp Time(int year, int month, int day, int hour = 0) =>
        Timestamp.FromDateTimeOffset(new DateTimeOffset(year, month, day, hour, 0, 0, TimeSpan.Zero));

    public ModuleEvent Event(string id, string module, Timestamp time, Action<ModuleEvent> what)
    {
        var posted = new ModuleEvent { EventId = id, Source = source, Module = module, OccurTime = time };
        what(posted);
        return posted;
    }

    /// <summary>Posts, and expects a receipt for each event.</summary>
    public async Task<IReadOnlyList<Receipt>> ReceiptsAsync(params IEnumerable<ModuleEvent> events)
    {
        var results = await ResultsAsync(events);
        Assert.All(results, result => Assert.True(
            result.OutcomeCase == RecordEventResult.OutcomeOneofCase.Receipt, result.ToString()));
        return [.. results.Select(result => result.Receipt)];
    }

    public async Task<IReadOnlyList<RecordEventResult>> ResultsAsync(params IEnumerable<ModuleEvent> events)
    {
        var request = new RecordEventsRequest();
        request.Events.AddRange(events);
        var response = await clients.History.RecordEventsAsync(
            request, cancellationToken: TestContext.Current.CancellationToken);
        return response.Results;
    }

    /// <summary>Makes sure that a module model is in the catalogue.</summary>
    public static async Task<ModuleModel> ModelAsync(ServiceClients clients, string id, double ratedHours) =>
        await clients.Catalogue.CreateModuleModelAsync(
            new CreateModuleModelRequest
            {
                ModuleModelId = id,
                ModuleModel = new() { DisplayName = id, RatedLives = { new RatedLife { RatedHours = ratedHours } } },
            },
            cancellationToken: TestContext.Current.CancellationToken);
}
