using Reliability.PlugInCheck;

namespace Reliability.Engine.Remote.Tests.Examples;

/// <summary>The command that holds a plug-in against the battery, in this process.</summary>
internal static class Checked
{
    /// <summary>Runs it.</summary>
    /// <param name="arguments">Its command line.</param>
    public static (int ExitCode, string Output, string Error) Run(IReadOnlyList<string> arguments)
    {
        using StringWriter output = new(), error = new();
        return (CheckCommand.Run(arguments, output, error), output.ToString(), error.ToString());
    }
}
