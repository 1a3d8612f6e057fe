using System.Diagnostics.Metrics;
using Microsoft.Extensions.Logging.Abstractions;
using Npgsql;
using Reliability.History.Catalogue;
using Reliability.History.Events;
using Reliability.Store.Catalogue;
using Reliability.Store.Lives;
using Xunit;

namespace Reliability.Store.Tests.Lives;

/// <summary>Rows that are gone on with are those that a rebuild makes, to the byte, whatever comes and however often.</summary>
public sealed class ContinuedTests(SharedServer server) : StoreTest(server)
{
    private static readonly string[] Modules = [.. Enumerable.Range(0, 12).Select(n => $"m-{n:00}")];

    [Fact]
    public async Task Readings_that_follow_plainly_are_taken_in_without_the_record()
    {
        await OpenAsync();
        using var continued = new Counted(Modules.Length * 4);

        for (var day = 100; day < 140; day += 10)
            await RecordAndWaitAsync([.. Modules.Select(module => Scenario.Read(module, day, 300 + day))]);

        await continued.ReachedAsync(Cancellation);
        await AssertAsRebuiltAsync();
        var life = Assert.Single(
            await Organisation.Lives.ReadAsync(new(), null, Cancellation).ToListAsync(Cancellation),
            stored => stored.Life is { ModuleId: "m-03", InService: true });
        Assert.Equal(430, life.Life.Outcome?.LowerHours);
        Assert.Equal(Scenario.Read("m-03", 130, 430).EventId, life.Life.OutcomeEventId);
    }

    [Fact]
    public async Task Whatever_comes_among_readings_the_rows_are_those_of_a_rebuild()
    {
        await OpenAsync();
        var random = new Random(5);
        var (day, posted) = (100.0, new List<RecordedEvent>());
        for (var round = 0; round < 40; round++)
        {
            day += random.Next(1, 4);
            foreach (var module in Modules.Where(_ => random.Next(3) > 0))
            {
                posted.Add(random.Next(14) switch
                {
                    0 => Scenario.Read(module, day - 2.5, 300 + day - 2.5),
                    1 when posted.FindLast(e => e.ModuleId == module && e.Body is RunHoursReadV1) is { } target =>
                        Scenario.Retracted(module, target, day),
                    2 => Scenario.Read(module, day, 10 * day),
                    // Retracted before it comes.
                    3 => Scenario.Retracted(module, Scenario.Read(module, day + 1, 0), day),
                    4 => Scenario.Event(module, $"{module}-output-{day}", day, new OutputMeasuredV1 { Fraction = 0.9 }),
                    5 => Scenario.Removed(module, day, 300 + day),
                    6 or 7 => Scenario.Installed(module, day),
                    8 => Scenario.Read(module, day, 300 + Math.Floor(day / 10) * 10),
                    _ => Scenario.Read(module, day, 300 + day),
                });
            }
            if (random.Next(3) > 0) await RecordAsync(posted.TakeLast(Modules.Length).ToList());
            else await RecordAndWaitAsync(posted.TakeLast(Modules.Length).ToList());
            if (round % 8 == 7) await AssertAsRebuiltAsync();
        }
    }

    [Fact]
    public async Task A_page_that_comes_again_is_taken_in_whether_its_rows_were_on_disk_or_not()
    {
        await OpenAsync();
        await RecordAndWaitAsync([.. Modules.Select(module => Scenario.Read(module, 100, 400))]);
        var floor = await ScalarAsync<long>("select max(seq_id) from mt_events");
        await ExecuteAsync("create table kept_state as select * from module_state; create table kept_lives as select * from lives");
        await RecordAndWaitAsync([.. Modules.Select(module => Scenario.Read(module, 110, 410))]);
        await RecordAndWaitAsync([.. Modules.Select(module => Scenario.Read(module, 120, 420))]);
        var rows = await DerivedRowsAsync();
        await using var source = NpgsqlDataSource.Create(ConnectionString);
        var end = await ScalarAsync<long>("select max(seq_id) from mt_events");

        // Rows of half the modules were lost with the database, which had promised nothing; those of the others were not.
        await ExecuteAsync(
            """
            delete from module_state where module < 'm-06'; insert into module_state select * from kept_state where module < 'm-06';
            delete from lives where module < 'm-06'; insert into lives select * from kept_lives where module < 'm-06'
            """);
        Assert.NotEqual(rows, await DerivedRowsAsync());
        for (var again = 0; again < 2; again++)
        {
            await new LivesIntake(new Database(source, Options.Schema), NullLogger.Instance).TakeInAsync(floor, end, Cancellation);
            Assert.Equal(rows, await DerivedRowsAsync());
        }
        await AssertAsRebuiltAsync();
    }

    [Fact]
    public async Task A_change_of_the_model_holds_for_readings_after_it()
    {
        await OpenAsync();
        await RecordAndWaitAsync([.. Modules.Select(module => Scenario.Read(module, 100, 400))]);
        var model = Assert.IsType<CatalogueOutcome.Stored>(await Organisation.Catalogue.UpdateAsync(
            Scenario.Model, Scenario.Blower with { RatedLives = [new RatedLife { RatedHours = 15_000 }] }, null, Cancellation));
        await RecordAndWaitAsync([.. Modules.Select(module => Scenario.Read(module, 110, 410))]);
        await WaitAsync(model.Model.Revision);

        await AssertAsRebuiltAsync();
    }

    [Fact]
    public async Task A_record_that_could_not_be_derived_is_not_gone_on_with()
    {
        await OpenAsync();
        await RecordAndWaitAsync([.. Modules.Select(module => Scenario.Read(module, 100, 400))]);
        // Its next reading is late and mistyped, so that its record is read, and cannot be.
        await ExecuteAsync("create table kept as select * from module_readings where module = 'm-03'");
        await ExecuteAsync("update module_readings set readings = '\\x02ff' where module = 'm-03'");
        await RecordAndWaitAsync(Scenario.Read("m-03", 95, 9_000));
        await ExecuteAsync(
            """
            update module_readings as filed set readings = kept.readings from kept
            where kept.organisation = filed.organisation and kept.module = filed.module and kept.floor_position = filed.floor_position
            """);

        await RecordAndWaitAsync(Scenario.Read("m-03", 110, 410));

        await AssertAsRebuiltAsync();
    }

    private async Task OpenAsync()
    {
        Assert.IsType<CatalogueOutcome.Stored>(await Organisation.Catalogue.CreateAsync(Scenario.Model, Scenario.Blower, Cancellation));
        await RecordAndWaitAsync([.. Modules.SelectMany(Scenario.WholeHistory)]);
    }

    private async Task AssertAsRebuiltAsync()
    {
        await WaitAsync(new(ReliabilityStore.DefaultOrganisation, await ScalarAsync<long>("select max(seq_id) from mt_events"), 0));
        var rows = await DerivedRowsAsync();
        await Store.RebuildAsync(Cancellation);
        Assert.Equal(await DerivedRowsAsync(), rows);
    }

    private async Task ExecuteAsync(string sql)
    {
        await using var connection = new NpgsqlConnection(ConnectionString);
        await connection.OpenAsync(Cancellation);
        await using var command = new NpgsqlCommand(sql, connection);
        await command.ExecuteNonQueryAsync(Cancellation);
    }

    /// <summary>Counts modules that are gone on with, in this process.</summary>
    private sealed class Counted : IDisposable
    {
        private readonly MeterListener _listener = new();
        private readonly TaskCompletionSource _reached = new(TaskCreationOptions.RunContinuationsAsynchronously);
        private long _count;

        public Counted(long least)
        {
            _listener.InstrumentPublished = (instrument, listener) =>
            {
                if (instrument is { Meter.Name: StoreTelemetry.Name, Name: "reliability.store.modules.continued" })
                    listener.EnableMeasurementEvents(instrument);
            };
            _listener.SetMeasurementEventCallback<long>((_, count, _, _) =>
            {
                if (Interlocked.Add(ref _count, count) >= least) _reached.TrySetResult();
            });
            _listener.Start();
        }

        public Task ReachedAsync(CancellationToken cancellation) => _reached.Task.WaitAsync(TimeSpan.FromSeconds(20), cancellation);

        public void Dispose() => _listener.Dispose();
    }
}
