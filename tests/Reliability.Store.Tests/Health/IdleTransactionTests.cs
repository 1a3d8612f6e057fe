using System.Diagnostics;
using Microsoft.Extensions.Logging.Abstractions;
using Npgsql;
using Reliability.Store.Revisions;
using Xunit;

namespace Reliability.Store.Tests.Health;

/// <summary>What is waited for is what is told and ended, as far as the database lets it be seen.</summary>
public sealed class IdleTransactionTests(SharedServer server) : StoreTest(server)
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(30);

    [Fact]
    public async Task One_that_has_only_read_the_store_is_waited_for_told_and_ended()
    {
        await using var store = new ReliabilityStore(
            Options with { IdleTransactionLimit = TimeSpan.FromSeconds(8) }, NullLoggerFactory.Instance);
        await store.StartAsync(Cancellation);
        await using var connection = await BeganAsync("select count(*) from mt_events");
        var then = await store.Default.RecordTimes.NowAsync(Cancellation);

        var told = await ToldAsync(store, connection.ProcessID);
        var open = await store.Default.RecordTimes.SettleAsync(then, TimeSpan.Zero, Cancellation);
        var ended = await store.Default.RecordTimes.SettleAsync(then, Patience, Cancellation);

        Assert.True(told);
        Assert.Equal((RecordTimeWait.TimedOut, RecordTimeWait.Settled), (open, ended));
    }

    [Fact]
    public async Task One_that_has_touched_nothing_of_the_store_holds_nothing_up()
    {
        await using var connection = await BeganAsync("select count(*) from pg_class");
        var then = await Organisation.RecordTimes.NowAsync(Cancellation);

        Assert.Equal(RecordTimeWait.Settled, await Organisation.RecordTimes.SettleAsync(then, Patience, Cancellation));
        Assert.DoesNotContain((await Store.CheckHealthAsync(Cancellation)).IdleTransactions, idle => idle.ProcessId == connection.ProcessID);
    }

    [Fact]
    public async Task A_user_from_whom_the_sessions_of_others_are_hidden_says_so()
    {
        var user = $"plain_{Options.Schema}";
        await using (var connection = new NpgsqlConnection(ConnectionString))
        {
            await connection.OpenAsync(Cancellation);
            await using var create = new NpgsqlCommand(
                $"create role {user} login password 'plain'; create schema {user} authorization {user}", connection);
            await create.ExecuteNonQueryAsync(Cancellation);
        }
        var plain = new NpgsqlConnectionStringBuilder(Options.ConnectionString) { Username = user, Password = "plain" };
        await using var store = new ReliabilityStore(
            Options with { ConnectionString = plain.ConnectionString, Schema = user }, NullLoggerFactory.Instance);
        await store.StartAsync(Cancellation);

        Assert.Equal(
            (true, false),
            ((await store.CheckHealthAsync(Cancellation)).OthersUnseen, (await Store.CheckHealthAsync(Cancellation)).OthersUnseen));
    }

    private async Task<NpgsqlConnection> BeganAsync(string sql)
    {
        var connection = new NpgsqlConnection(ConnectionString + ";Pooling=false");
        await connection.OpenAsync(Cancellation);
        await using var command = new NpgsqlCommand($"begin; {sql}", connection);
        await command.ExecuteNonQueryAsync(Cancellation);
        return connection;
    }

    private static async Task<bool> ToldAsync(ReliabilityStore store, int process)
    {
        for (var began = Stopwatch.GetTimestamp(); Stopwatch.GetElapsedTime(began) < Patience; await Task.Delay(100, Cancellation))
            if ((await store.CheckHealthAsync(Cancellation)).IdleTransactions.Any(idle => idle.ProcessId == process)) return true;
        return false;
    }
}
