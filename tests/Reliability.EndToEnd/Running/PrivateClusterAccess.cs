namespace Reliability.EndToEnd.Running;

/// <summary>The way into a private cluster that a service has made, for a second service beside it.</summary>
internal static class PrivateClusterAccess
{
    public static async Task<string> ConnectionStringAsync(string dataDirectory)
    {
        var folder = Path.Combine(dataDirectory, "postgresql");
        var port = (await File.ReadAllTextAsync(Path.Combine(folder, "port"))).Trim();
        var password = (await File.ReadAllTextAsync(Path.Combine(folder, "password"))).Trim();
        return $"Host=127.0.0.1;Port={port};Database=reliability;Username=reliability;Password={password}";
    }
}
