using Reliability.EndToEnd.Running;
using Xunit;

namespace Reliability.EndToEnd.CommandLine;

/// <summary>Aliases by the command line.</summary>
public sealed class AliasCommandTests(SharedService shared)
{
    [Fact]
    public async Task An_alias_is_created_listed_and_deleted()
    {
        var created = await RunAsync("aliases", "create", "site", "Command Gen.", "Command General");
        Assert.Equal((0, ""), (created.ExitCode, created.Error));
        var name = created.Out.Split(' ', StringSplitOptions.RemoveEmptyEntries).First(word => word.StartsWith("aliases/", StringComparison.Ordinal));

        var listed = await RunAsync("aliases", "list", "--kind", "site");
        Assert.Contains("Command Gen.", listed.Out, StringComparison.Ordinal);
        var circular = await RunAsync("aliases", "create", "site", "Command General", "Command Gen.");
        Assert.NotEqual(0, circular.ExitCode);
        Assert.Contains("alias.primary", circular.Error, StringComparison.Ordinal);

        Assert.Equal(0, (await RunAsync("aliases", "delete", name)).ExitCode);
        Assert.DoesNotContain("Command Gen.", (await RunAsync("aliases", "list", "--kind", "site")).Out, StringComparison.Ordinal);
    }

    private Task<(int ExitCode, string Out, string Error)> RunAsync(params string[] arguments) =>
        CommandLineProcess.RunAsync(shared.Service.GrpcAddress, arguments);
}
