using System.CommandLine;
using System.Text.Json;
using Reliability.Cli.Terminals;
using Reliability.Engine.PlugIns.Loading;

namespace Reliability.Cli.PlugIns;

/// <summary>What an operator needs to allow a plug-in.</summary>
internal sealed class PlugInsCommand(CommandContext context)
{
    /// <summary>The command with the one below it.</summary>
    public Command Create() => new("plug-ins", "Life models that others wrote: what the allow-list of the service needs.")
    {
        Hash(),
    };

    private Command Hash()
    {
        Argument<string> folder = new("FOLDER") { Description = "The plug-in's folder, as it is to lie in the service's directory of plug-ins." };
        Command command = new("hash", "Print the hash of a plug-in's folder, for Engine:AllowedPlugIns of the service. Asks nothing of it.") { folder };
        command.SetAction(parse =>
        {
            string path = parse.GetRequiredValue(folder);
            try
            {
                string hash = PlugInFiles.Read(path).Hash;
                context.Terminal.Raw.WriteLine(parse.GetValue(context.Json)
                    ? JsonSerializer.Serialize(new { folder = Path.GetFileName(Path.GetFullPath(path).TrimEnd('/')), hash })
                    : hash);
                return ExitCode.Success;
            }
            catch (Exception problem) when (problem is IOException or UnauthorizedAccessException or InvalidDataException)
            {
                context.Terminal.Complain($"{path} cannot be hashed: {problem.Message}");
                return ExitCode.Failed;
            }
        });
        return command;
    }
}
