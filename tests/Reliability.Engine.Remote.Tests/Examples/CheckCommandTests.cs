using Xunit;

namespace Reliability.Engine.Remote.Tests.Examples;

/// <summary>What the command says of plug-ins that are wrong, and of command lines that are.</summary>
public sealed class CheckCommandTests
{
    private static readonly string[] Hostile =
    [
        "--command", "dotnet", "--argument", Path.Combine(AppContext.BaseDirectory, "Reliability.PlugIns.Hostile.dll"), "--argument", "gompertz",
        "--id", "gompertz",
    ];

    private static readonly string[] Members = ["--member", "gompertz=0.01,1000", "--member", "gompertz=0.1,50"];

    [Fact]
    public void A_rule_that_is_broken_is_named_with_where_and_the_exit_code_says_so()
    {
        var (exitCode, output, error) = Checked.Run(
            [.. Hostile, "--argument", "goes-back", .. Members, "--rule", "density-integrates", "--rule", "quantile-inverts", "--rule", "mean"]);
        Assert.Equal((1, ""), (exitCode, error));
        Assert.Matches(@"\n  Kept +density-integrates +\d+ panels", output);
        Assert.Matches(@"\n  Broken +quantile-inverts +R at a quantile is what was asked, .* for \(0\.01, 1000\)", output);
        Assert.Matches(@"\n  NotClaimed mean ", output);

        // Its estimator shows no distribution: that it was not tried is no success either.
        Assert.Matches(@"\n  NotChecked all rules +It names no family", output);
        Assert.Contains("gompertz 1.0: 1 kept, 1 broken, 2 not claimed or not checked", output, StringComparison.Ordinal);
    }

    [Fact]
    public void Wrong_command_lines_are_told_what_is_wrong()
    {
        Fails("Name either a folder", []);
        Fails("Name the plug-in's id by --id.", ["--command", "dotnet"]);
        Fails("\"x\" is no number", [.. Hostile, "--member", "gompertz=1,x"]);
        Fails("it must be ID=VALUE,VALUE", [.. Hostile, "--member", "gompertz"]);
        Fails("Name 2 or more members of gompertz by --member gompertz=VALUE,... with values of shape, scale", [.. Hostile, "--argument", "none", "--member", "gompertz=1,2"]);
        Fails("the plug-in has no life model of this id", [.. Hostile, "--argument", "none", .. Members, "--member", "other=1"]);
        Fails("there is no such rule", [.. Hostile, "--argument", "none", .. Members, "--rule", "other"]);
        Fails("--lives must be 100 or more", [.. Hostile, "--argument", "none", .. Members, "--lives", "99"]);
        Fails("no-such-folder", [Path.Combine(AppContext.BaseDirectory, "no-such-folder")]);
    }

    private static void Fails(string because, string[] arguments)
    {
        var (exitCode, _, error) = Checked.Run(arguments);
        Assert.Equal(2, exitCode);
        Assert.Contains(because, error, StringComparison.Ordinal);
    }
}
