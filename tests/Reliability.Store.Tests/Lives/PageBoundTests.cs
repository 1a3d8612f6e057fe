using Microsoft.Extensions.Logging.Abstractions;
using Npgsql;
using Reliability.Store.Lives;
using Reliability.Store.Posting;
using Reliability.Store.Readings;
using Xunit;

namespace Reliability.Store.Tests.Lives;

/// <summary>However much waits to be taken in, a page of it is bounded, and the pages leave nothing out.</summary>
public sealed class PageBoundTests(SharedServer server) : StoreTest(server)
{
    private const int Sheets = 7;

    [Fact]
    public async Task A_run_ends_when_its_sheets_have_enough_bytes_and_has_one_at_least()
    {
        var positions = new List<long>();
        for (var day = 1; day <= Sheets; day++)
            positions.Add(Assert.IsType<RecordOutcome.Receipt>((await RecordAsync(Scenario.Read("m-1", day, day)))[0]).Revision.Position);
        await using var source = NpgsqlDataSource.Create(ConnectionString);
        var database = new Database(source, Options.Schema);
        var size = await ScalarAsync<int>("select max(octet_length(bdata)) from mt_events");
        var end = positions[^1] + 1;

        Assert.Equal([.. positions[..^1], end], await CeilingsAsync(new ModuleReadings(database, runBytes: 1), end));
        // Two fill it: the second begins below the bound.
        Assert.Equal([positions[1], positions[3], positions[5], end], await CeilingsAsync(new ModuleReadings(database, size + 1), end));
        Assert.Equal([end], await CeilingsAsync(new ModuleReadings(database), end));
    }

    [Fact]
    public async Task A_page_of_events_of_other_kinds_is_bounded_too()
    {
        await RecordAndWaitAsync([.. Enumerable.Range(0, 20).Select(n => Scenario.Registered($"m-{n}"))]);
        await using var source = NpgsqlDataSource.Create(ConnectionString);
        var intake = new LivesIntake(new Database(source, Options.Schema), NullLogger.Instance, mostPositions: 5);

        Assert.Equal(5, await intake.TakeInAsync(0, 0, Cancellation));
        Assert.Equal(10, await intake.TakeInAsync(5, 7, Cancellation));
        // What the daemon has given out is taken in whole.
        Assert.Equal(19, await intake.TakeInAsync(10, 19, Cancellation));
        Assert.Equal(20, await intake.TakeInAsync(19, 19, Cancellation));
    }

    private static async Task<List<long>> CeilingsAsync(ModuleReadings readings, long end)
    {
        var (ceilings, count) = (new List<long>(), 0);
        for (var position = 0L; position < end; position = ceilings[^1])
        {
            var run = await readings.NextRunAsync(position, end, Cancellation);
            count += run.Count;
            ceilings.Add(run.Ceiling);
        }
        Assert.Equal(Sheets, count);
        return ceilings;
    }
}
