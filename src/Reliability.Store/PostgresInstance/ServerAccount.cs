namespace Reliability.Store.PostgresInstance;

/// <summary>
/// The account of the operating system that PostgreSQL runs under. PostgreSQL refuses to run as root, so a service
/// started by root hands it to another account; any other user runs it as himself.
/// </summary>
/// <param name="Name">Account name, or null for the user who runs the service.</param>
/// <param name="Switch">Words put before a command to run it under that account.</param>
internal sealed record ServerAccount(string? Name, IReadOnlyList<string> Switch)
{
    /// <summary>Chooses the account: the user himself, or, for root, the first of the candidates that exists.</summary>
    /// <exception cref="PrivateClusterException">Root, and no account or no program to switch to it.</exception>
    public static ServerAccount Choose() =>
        Environment.IsPrivilegedProcess && !OperatingSystem.IsWindows()
            ? ForRoot(AccountNames(), ["postgres", "nobody"], FindProgram)
            : new ServerAccount(null, []);

    internal static ServerAccount ForRoot(
        IReadOnlySet<string> accounts, IReadOnlyList<string> candidates, Func<string, string?> findProgram)
    {
        var name = candidates.FirstOrDefault(accounts.Contains)
            ?? throw new PrivateClusterException(
                "PostgreSQL does not run as root, and this machine has no account 'postgres' to run it under. Create it "
                + "(adduser --system --group postgres), or start the service as another user.");
        if (findProgram("runuser") is { } runuser) return new ServerAccount(name, [runuser, "-u", name, "--"]);
        if (findProgram("setpriv") is { } setpriv)
            return new ServerAccount(name, [setpriv, $"--reuid={name}", "--init-groups", $"--regid={name}", "--"]);
        throw new PrivateClusterException(
            "PostgreSQL does not run as root, and neither runuser nor setpriv was found to start it under the account "
            + $"'{name}'. Install the Debian package 'util-linux', or start the service as another user.");
    }

    /// <summary>The command, run under this account.</summary>
    public IEnumerable<string> Command(params IEnumerable<string> words) => Switch.Concat(words);

    /// <summary>Gives a file or folder to this account.</summary>
    public async Task TakeOverAsync(string path, CancellationToken cancellation)
    {
        if (Name is null) return;
        await ServerCommand.MustSucceedAsync(
            $"Giving {path} to the account {Name}", ["chown", $"{Name}:", path], cancellation);
    }

    private static HashSet<string> AccountNames() => File.Exists("/etc/passwd")
        ? [.. File.ReadLines("/etc/passwd").Select(line => line.Split(':')[0])]
        : [];

    private static string? FindProgram(string name) =>
        (Environment.GetEnvironmentVariable("PATH") ?? "")
            .Split(Path.PathSeparator, StringSplitOptions.RemoveEmptyEntries)
            .Concat(["/usr/sbin", "/usr/bin", "/sbin", "/bin"])
            .Select(folder => Path.Combine(folder, name))
            .FirstOrDefault(File.Exists);
}
