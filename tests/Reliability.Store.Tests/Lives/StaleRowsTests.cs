using Npgsql;
using Reliability.Store.Catalogue;
using Reliability.Store.Lives;
using Reliability.Store.Records;
using Xunit;

namespace Reliability.Store.Tests.Lives;

public sealed class StaleRowsTests(SharedServer server) : StoreTest(server)
{
    [Fact]
    public async Task Rows_of_an_older_record_or_catalogue_never_replace_newer_ones()
    {
        await using var source = NpgsqlDataSource.Create(ConnectionString);
        var database = new Database(source, Options.Schema);
        var derivation = new Derivation(database);
        await RecordAndWaitAsync(Scenario.WholeHistory("m-1"));
        var beforeModel = await derivation.DeriveAsync("default", ["m-1"], RecordView.Present, Cancellation);
        var model = await Organisation.Catalogue.CreateAsync(Scenario.Model, Scenario.Blower, Cancellation);
        await WaitAsync(((CatalogueOutcome.Stored)model).Model.Revision);
        var beforeRead = await derivation.DeriveAsync("default", ["m-1"], RecordView.Present, Cancellation);
        await RecordAndWaitAsync(Scenario.Read("m-1", 100, 500));
        var rows = await DerivedRowsAsync();

        await new DerivedRows(database, waitForDisk: true).ReplaceAsync("default", beforeModel, Cancellation);
        await new DerivedRows(database, waitForDisk: true).ReplaceAsync("default", beforeRead, Cancellation);

        Assert.Equal(rows, await DerivedRowsAsync());
    }

    [Fact]
    public async Task Health_tells_of_a_transaction_that_holds_the_lives_back()
    {
        await RecordAndWaitAsync(Scenario.Registered("m-1"));
        await using var connection = new NpgsqlConnection(ConnectionString);
        await connection.OpenAsync(Cancellation);
        await using var transaction = await connection.BeginTransactionAsync(Cancellation);
        await using var command = new NpgsqlCommand(
            "select nextval('mt_events_sequence'), pg_current_xact_id()", connection, transaction);
        await command.ExecuteNonQueryAsync(Cancellation);
        await RecordAsync(Scenario.Registered("m-2"));
        await Task.Delay(TimeSpan.FromMilliseconds(200), Cancellation);

        var health = await Store.CheckHealthAsync(Cancellation);

        Assert.True(health.OldestOpenTransaction >= TimeSpan.FromMilliseconds(200));
        Assert.True(health.LivesPosition < health.LogPosition);
        await transaction.RollbackAsync(Cancellation);
        await RecordAndWaitAsync(Scenario.Registered("m-3"));
    }
}
