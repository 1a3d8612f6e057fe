using Reliability.History.Events;
using Xunit;

namespace Reliability.Store.Tests.Readings;

/// <summary>What a reading takes on disk: the storage is decided once, and readings are the mass of what is posted.</summary>
public sealed class BytesTests(SharedServer server) : StoreTest(server)
{
    private const int Modules = 2_000, Each = 20, Post = 2_000;

    // The target is this project's own: 140 bytes a reading in the log and its table of posted ids, with ids of up to 16
    // characters. PostgreSQL's pages and the order of random ids make the figure vary by a few bytes.
    [Fact]
    public async Task A_reading_takes_at_most_140_bytes_in_the_log_and_its_table_of_ids()
    {
        var before = await LogBytesAsync();
        foreach (var post in Enumerable.Range(0, Each).SelectMany(day => Enumerable.Range(0, Modules).Select(module => Reading(module, day)))
            .Chunk(Post))
            await RecordAsync(post);
        var perReading = (await LogBytesAsync() - before) / (double)(Modules * Each);

        TestContext.Current.SendDiagnosticMessage("{0:F1} bytes a reading", perReading);
        Assert.InRange(perReading, 40, 140);
    }

    private static RecordedEvent Reading(int module, int day) => Scenario.Event(
        $"blower-{module:D5}", $"r{day:x}-{module:x8}", day,
        new RunHoursReadV1 { Readings = [MeterReading.AtInstant(Scenario.Start.AddDays(day), (day * 10) + (module % 7 / 8.0))] });

    private Task<long> LogBytesAsync() => ScalarAsync<long>(
        """
        select sum(pg_total_relation_size(oid))::bigint from pg_class
        where relnamespace = current_schema()::regnamespace and relkind = 'r' and relname ~ '^(mt_|posted_event|commit_window)'
        """);
}
