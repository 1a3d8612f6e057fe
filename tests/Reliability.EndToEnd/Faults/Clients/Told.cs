namespace Reliability.EndToEnd.Faults.Clients;

/// <summary>The counts of a test, in a line.</summary>
internal static class Told
{
    public static string Of(IReadOnlyList<ResumingClient> clients, Receipts receipts) =>
        $"{receipts.Given} receipts for {receipts.First.Count} events, {receipts.First.Count - receipts.New} of them found recorded "
        + $"without an earlier receipt; {clients.Sum(client => client.Resumes)} resumes; broken lines and failed attempts: "
        + string.Join(", ", clients.SelectMany(client => client.Breaks).GroupBy(pair => pair.Key)
            .Select(kind => $"{kind.Sum(pair => pair.Value)} {kind.Key}")) + ".";
}
