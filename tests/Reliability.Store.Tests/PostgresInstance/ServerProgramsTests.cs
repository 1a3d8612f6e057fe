using Reliability.Store.PostgresInstance;
using Xunit;

namespace Reliability.Store.Tests.PostgresInstance;

public sealed class ServerProgramsTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("reliability-programs-").FullName;

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public async Task Without_programs_the_message_names_the_package_and_the_setting()
    {
        var missing = await Assert.ThrowsAsync<PrivateClusterException>(
            () => ServerPrograms.FindAsync(path: null, patterns: [], dataVersion: null, Cancellation));

        Assert.Contains("'postgresql'", missing.Message, StringComparison.Ordinal);
        Assert.Contains("ConnectionStrings:Reliability", missing.Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_newest_version_of_the_usual_folders_is_taken()
    {
        Install("9/bin");
        Install("15/bin");
        Install("17/bin", "initdb"); // not complete

        var found = await ServerPrograms.FindAsync(null, [_folder + "/*/bin"], dataVersion: null, Cancellation);

        Assert.Equal(Path.Combine(_folder, "15", "bin"), found.Folder);
    }

    [Fact]
    public async Task A_folder_on_PATH_comes_first()
    {
        Install("17/bin");
        Install("own");

        var found = await ServerPrograms.FindAsync(
            Path.Combine(_folder, "own"), [_folder + "/*/bin"], dataVersion: null, Cancellation);

        Assert.Equal(Path.Combine(_folder, "own"), found.Folder);
    }

    [Fact]
    public async Task Data_of_another_version_name_the_package_of_that_version()
    {
        Install("17/bin");

        var right = await ServerPrograms.FindAsync(null, [_folder + "/*/bin"], "17", Cancellation);
        var wrong = await Assert.ThrowsAsync<PrivateClusterException>(
            () => ServerPrograms.FindAsync(null, [_folder + "/*/bin"], "15", Cancellation));

        Assert.Equal(Path.Combine(_folder, "17", "bin"), right.Folder);
        Assert.Contains("'postgresql-15'", wrong.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Root_without_an_account_for_the_server_is_told_how_to_make_one()
    {
        var missing = Assert.Throws<PrivateClusterException>(
            () => ServerAccount.ForRoot(new HashSet<string> { "root" }, ["postgres", "nobody"], _ => "/bin/true"));

        Assert.Contains("adduser --system --group postgres", missing.Message, StringComparison.Ordinal);
    }

    private void Install(string folder, params string[] programs)
    {
        var bin = Directory.CreateDirectory(Path.Combine(_folder, folder)).FullName;
        var version = folder.Split('/')[0];
        foreach (var program in programs is [] ? ["initdb", "postgres", "pg_ctl"] : programs)
        {
            var file = Path.Combine(bin, program);
            File.WriteAllText(file, $"#!/bin/sh\necho 'postgres (PostgreSQL) {version}.1'\n");
            if (!OperatingSystem.IsWindows())
                File.SetUnixFileMode(file, UnixFileMode.UserRead | UnixFileMode.UserExecute | UnixFileMode.UserWrite);
        }
    }
}
