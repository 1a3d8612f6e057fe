using System.Globalization;
using Google.Protobuf.WellKnownTypes;
using Grpc.Net.Client;
using Reliability.V1;

namespace Reliability.EndToEnd.Readme;

/// <summary>The README's example in C#: what stands between the marks is printed there, letter for letter.</summary>
internal static class CallFromCSharp
{
    public static async Task RunAsync(Uri address, TextWriter output)
    {
        CultureInfo.CurrentCulture = CultureInfo.InvariantCulture;

        // readme: begin
        using var channel = GrpcChannel.ForAddress(address);
        var histories = new ModuleHistoryService.ModuleHistoryServiceClient(channel);
        var posted = await histories.RecordEventsAsync(new RecordEventsRequest
        {
            Events =
            {
                new ModuleEvent
                {
                    EventId = "wo-20260630-17",
                    Source = "readme",
                    Module = "serial:BH-PL-20-X0001",
                    OccurTime = Timestamp.FromDateTimeOffset(new DateTimeOffset(2026, 6, 30, 9, 30, 0, TimeSpan.Zero)),
                    Removed = new Removed { Reason = RemovalReason.RatedHoursReached, ReadingHours = 1_998 },
                },
            },
        });
        var receipt = posted.Results[0].Receipt;
        output.WriteLine($"recorded; does not count yet because {receipt.UnresolvedReason}");

        var forecasts = new LifeForecastService.LifeForecastServiceClient(channel);
        var prediction = await forecasts.PredictFailureAsync(new PredictFailureRequest
        {
            Name = "modules/quennick-lamp-057",
            AsOfTime = Timestamp.FromDateTimeOffset(new DateTimeOffset(2026, 7, 1, 0, 0, 0, TimeSpan.Zero)),
            MinimumRevision = receipt.Revision,
        });
        output.WriteLine($"act before {prediction.ActBeforeTime.ToDateTime():yyyy-MM-dd}");
        // readme: end
    }
}
