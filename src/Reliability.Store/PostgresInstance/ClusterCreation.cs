using System.Security.Cryptography;

namespace Reliability.Store.PostgresInstance;

/// <summary>Makes the folder, the password and the data of a private cluster.</summary>
internal sealed class ClusterCreation(ClusterFolder folder, ServerAccount account, ServerPrograms programs)
{
    /// <summary>Makes the folder of the cluster, and makes sure that the server's account can reach it.</summary>
    /// <exception cref="PrivateClusterException">It cannot.</exception>
    public async Task PrepareFolderAsync(CancellationToken cancellation)
    {
        Directory.CreateDirectory(folder.Root);
        await account.TakeOverAsync(folder.Root, cancellation);
        if (!OperatingSystem.IsWindows())
            File.SetUnixFileMode(
                folder.Root, UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute);
        var (exitCode, _) = await ServerCommand.RunAsync(
            account.Command("test", "-x", folder.Root), cancellation);
        if (exitCode != 0)
            throw new PrivateClusterException(
                $"PostgreSQL runs under the account '{account.Name}', which cannot reach {folder.Root}. Open the "
                + "folders above it to that account (chmod o+x), or set DataDirectory to another folder, for example "
                + "/var/lib/reliability.");
    }

    /// <summary>Makes the data, whole or not at all.</summary>
    /// <exception cref="PrivateClusterException">initdb failed.</exception>
    public async Task InitialiseAsync(CancellationToken cancellation)
    {
        if (Directory.Exists(folder.Unfinished)) Directory.Delete(folder.Unfinished, recursive: true);
        await WritePasswordAsync(cancellation);
        await ServerCommand.MustSucceedAsync(
            "initdb",
            account.Command(
                programs.InitDb, "-D", folder.Unfinished, "--username=" + ClusterSettings.Name,
                "--pwfile=" + folder.Password, "--auth=scram-sha-256", "--encoding=UTF8", "--locale=C"),
            cancellation);
        Directory.Move(folder.Unfinished, folder.Data);
    }

    private async Task WritePasswordAsync(CancellationToken cancellation)
    {
        File.Delete(folder.Password);
        var options = new FileStreamOptions { Mode = FileMode.CreateNew, Access = FileAccess.Write };
        if (!OperatingSystem.IsWindows()) options.UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite;
        await using (var writer = new StreamWriter(folder.Password, options))
            await writer.WriteAsync(Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(32)));
        await account.TakeOverAsync(folder.Password, cancellation);
    }
}
