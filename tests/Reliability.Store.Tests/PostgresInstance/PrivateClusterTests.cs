using System.Diagnostics;
using Microsoft.Extensions.Logging.Abstractions;
using Npgsql;
using Reliability.Store.PostgresInstance;
using Xunit;

namespace Reliability.Store.Tests.PostgresInstance;

public sealed class PrivateClusterTests : IDisposable
{
    private readonly string _data = TemporaryFolder.Create();

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    public void Dispose() => Directory.Delete(_data, recursive: true);

    [Fact]
    public async Task Starts_again_on_the_same_data_after_a_clean_stop()
    {
        await using (var first = await StartAsync())
        {
            Assert.False(first.Adopted);
            await ExecuteAsync(first, "create table kept (n int); insert into kept values (41)");
        }

        await using var second = await StartAsync();

        Assert.False(second.Adopted);
        Assert.Equal(41, await ScalarAsync(second, "select n from kept"));
    }

    [Fact]
    public async Task Adopts_the_server_that_a_dead_service_left_running()
    {
        var first = await StartAsync();
        var processId = first.ProcessId;
        await ExecuteAsync(first, "create table kept (n int); insert into kept values (42)");
        await first.AbandonAsync();

        await using var second = await StartAsync();

        Assert.True(second.Adopted);
        Assert.Equal(processId, second.ProcessId);
        Assert.Equal(first.Port, second.Port);
        Assert.Equal(42, await ScalarAsync(second, "select n from kept"));
    }

    [Fact]
    public async Task Starts_the_server_again_when_it_is_killed()
    {
        await using var cluster = await StartAsync();
        await ExecuteAsync(cluster, "create table kept (n int); insert into kept values (43)");
        var killed = cluster.ProcessId;

        using (var process = Process.GetProcessById(killed)) process.Kill();

        var kept = await RetryAsync(
            () => ScalarAsync(cluster, "select n from kept"),
            () => cluster.ProcessId is var now && now != 0 && now != killed);
        Assert.Equal(43, kept);
        Assert.NotEqual(killed, cluster.ProcessId);
    }

    [Fact]
    public async Task Starts_on_data_whose_service_and_server_were_both_killed()
    {
        var first = await StartAsync();
        await ExecuteAsync(first, "create table kept (n int); insert into kept values (44)");
        var killed = first.ProcessId;
        await first.AbandonAsync();
        using (var process = Process.GetProcessById(killed)) process.Kill();
        await RetryAsync(() => Task.FromResult<object?>(null), () => first.ProcessId == 0);
        Assert.True(File.Exists(Path.Combine(_data, "postgresql", "data", "postmaster.pid")));

        await using var second = await StartAsync();

        Assert.False(second.Adopted);
        Assert.Equal(44, await ScalarAsync(second, "select n from kept"));
    }

    [Fact]
    public async Task A_pid_file_that_names_another_program_is_stale()
    {
        await using (await StartAsync())
        {
        }
        var pidFile = Path.Combine(_data, "postgresql", "data", "postmaster.pid");
        await File.WriteAllLinesAsync(
            pidFile, [$"{Environment.ProcessId}", "elsewhere", "0", "5432", "", "127.0.0.1"], Cancellation);

        await using var second = await StartAsync();

        Assert.False(second.Adopted);
        Assert.Equal(1, await ScalarAsync(second, "select 1"));
    }

    [Fact]
    public async Task A_second_service_on_the_same_data_is_told_so()
    {
        await using var first = await StartAsync();

        var refused = await Assert.ThrowsAsync<PrivateClusterException>(StartAsync);

        Assert.Contains("in use by another service", refused.Message, StringComparison.Ordinal);
        Assert.Equal(1, await ScalarAsync(first, "select 1"));
    }

    [Fact]
    public async Task Answers_on_loopback_only_with_a_password_that_its_owner_alone_can_read()
    {
        await using var cluster = await StartAsync();

        Assert.Equal("127.0.0.1", await ScalarAsync(cluster, "show listen_addresses"));
        Assert.Equal("", await ScalarAsync(cluster, "show unix_socket_directories"));
        Assert.Equal("on", await ScalarAsync(cluster, "show synchronous_commit"));
        Assert.Equal("on", await ScalarAsync(cluster, "show fsync"));
        Assert.Equal("1min", await ScalarAsync(cluster, "show idle_in_transaction_session_timeout"));
        if (!OperatingSystem.IsWindows())
            Assert.Equal(
                UnixFileMode.UserRead | UnixFileMode.UserWrite,
                File.GetUnixFileMode(Path.Combine(_data, "postgresql", "password")));
        var wrong = new NpgsqlConnectionStringBuilder(cluster.ConnectionString) { Password = "guess", Pooling = false };
        await using var connection = new NpgsqlConnection(wrong.ConnectionString);
        var refused = await Assert.ThrowsAsync<PostgresException>(() => connection.OpenAsync(Cancellation));
        Assert.Equal(PostgresErrorCodes.InvalidPassword, refused.SqlState);
    }

    private Task<PrivateCluster> StartAsync() => PrivateCluster.StartAsync(_data, NullLogger.Instance, Cancellation);

    private static async Task<object?> ScalarAsync(PrivateCluster cluster, string sql)
    {
        // No pool: it would keep connections to a server that is gone.
        var plain = new NpgsqlConnectionStringBuilder(cluster.ConnectionString) { Pooling = false };
        await using var connection = new NpgsqlConnection(plain.ConnectionString);
        await connection.OpenAsync(Cancellation);
        await using var command = new NpgsqlCommand(sql, connection);
        return await command.ExecuteScalarAsync(Cancellation);
    }

    private static Task<object?> ExecuteAsync(PrivateCluster cluster, string sql) => ScalarAsync(cluster, sql);

    /// <summary>Asks again, for at most 30 seconds, until the condition holds and the question is answered.</summary>
    private static async Task<object?> RetryAsync(Func<Task<object?>> ask, Func<bool> condition)
    {
        for (var attempt = 1; ; attempt++)
        {
            try
            {
                var answer = await ask();
                if (condition()) return answer;
                Assert.True(attempt < 300, "The condition never held.");
            }
            catch (NpgsqlException) when (attempt < 300)
            {
                // Down, or starting; the pooled connection is broken.
            }
            await Task.Delay(100, Cancellation);
        }
    }
}
