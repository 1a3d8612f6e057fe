using Reliability.EndToEnd.Faults.Clients;
using Reliability.EndToEnd.Faults.Victims;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.Faults;

/// <summary>What must hold of a record once all faults are over and everything was posted.</summary>
internal static class Aftermath
{
    private const int BatchSize = 500;

    public static async Task CheckAsync(
        IReadOnlyList<ServiceSlot> services, string database, CleanLoad clean, Receipts receipts, ITestOutputHelper output, string? told = null)
    {
        Assert.Empty(receipts.Broken);
        Assert.Equal(Ids(clean.Events), receipts.First.Keys.Order(StringComparer.Ordinal));
        foreach (var service in services)
            Assert.All(service.Errors, error => Assert.Contains(told ?? "no error", error, StringComparison.Ordinal));

        using var clients = services[0].Clients();
        var again = await Loading.PostAllAsync(clients, clean.Events, BatchSize);
        foreach (var (posted, receipt) in clean.Events.Zip(again))
        {
            Assert.True(receipt.Duplicate, $"{posted.EventId} had a receipt and was lost.");
            Assert.Equal(receipts.First[posted.EventId].Revision, receipt.Revision);
        }

        foreach (var service in services)
        {
            using var reader = service.Clients();
            await clean.AssertSameAsync(await Loading.LivesAsync(reader, again));
        }

        Assert.Equal(Ids(clean.Events), await Loading.RecordedIdsAsync(clients));
        await StoredLog.CheckWholeAsync(database, clean.Events, output);
        output.WriteLine($"{again.Count} events reposted, all known with the revision of their first receipt.");
    }

    private static IOrderedEnumerable<string> Ids(IEnumerable<ModuleEvent> events) =>
        events.Select(posted => posted.EventId).Order(StringComparer.Ordinal);
}
