using System.CommandLine;
using System.CommandLine.Invocation;
using Microsoft.Extensions.Logging.Abstractions;
using Reliability.Engine.Conformance;
using Reliability.Engine.PlugIns;
using Reliability.Engine.PlugIns.Loading;
using Reliability.Engine.Remote;

namespace Reliability.PlugInCheck;

/// <summary>The command line: where the plug-in is and what is known of it.</summary>
internal static class CheckCommand
{
    /// <summary>Runs a command line.</summary>
    /// <param name="args">The arguments.</param>
    /// <param name="output">Takes a line a rule.</param>
    /// <param name="error">Takes what went wrong with the command itself.</param>
    /// <returns>One of <see cref="ExitCode"/>.</returns>
    public static int Run(IReadOnlyList<string> args, TextWriter output, TextWriter error)
    {
        Argument<string?> folder = new("FOLDER") { Description = "A plug-in's folder, as it is to lie in the service's directory of plug-ins.", DefaultValueFactory = _ => null };
        Option<string?> command = new("--command") { Description = "Instead of a folder: the program to start.", HelpName = "PROGRAM" };
        Option<string[]> arguments = new("--argument") { Description = "An argument of the program; may be given again.", HelpName = "TEXT", DefaultValueFactory = _ => [] };
        Option<Uri?> address = new("--address") { Description = "Instead of a folder: where it listens, http://host:port or unix:/path.", HelpName = "URI" };
        Option<string?> id = new("--id") { Description = "With --command or --address: the plug-in's id.", HelpName = "ID" };
        Option<string[]> members = new("--member")
        {
            Description = "Parameters of a life model as they occur, the most ordinary ones first; given again for each: two or more of a family.",
            HelpName = "ID=VALUE,VALUE",
            DefaultValueFactory = _ => [],
        };
        Option<int> lives = new("--lives")
        {
            Description = $"Lives of a simulated sample, {FamilyUnderTest.FewestLives} or more. Fewer cost less and show less.",
            DefaultValueFactory = _ => FamilyUnderTest.UsualLives,
        };
        Option<string[]> rules = new("--rule") { Description = "Try this rule alone; may be given again.", HelpName = "NAME", DefaultValueFactory = _ => [] };
        RootCommand root = new("Holds a plug-in against the rules that hold for the life models of the engine: a line a rule.")
        {
            folder, command, arguments, address, id, members, lives, rules,
        };
        root.SetAction(parse =>
        {
            try
            {
                var battery = new Battery(MemberOption.Read(parse.GetValue(members)!), parse.GetValue(lives), parse.GetValue(rules)!, output);
                return (parse.GetValue(folder), parse.GetValue(command) ?? parse.GetValue(address)?.ToString()) switch
                {
                    ({ } path, null) => InFolder(path, battery),
                    (null, not null) => Remote(
                        new()
                        {
                            Id = parse.GetValue(id) ?? throw new UsageException("Name the plug-in's id by --id."),
                            Command = parse.GetValue(command),
                            Arguments = parse.GetValue(arguments)!,
                            Address = parse.GetValue(address),
                        },
                        battery),
                    _ => throw new UsageException("Name either a folder, or --command or --address with --id."),
                };
            }
            catch (Exception problem) when (problem is UsageException or IOException or UnauthorizedAccessException or InvalidDataException)
            {
                error.WriteLine(problem.Message);
                return ExitCode.Failed;
            }
        });
        var parsed = root.Parse(args);
        if (parsed.Action is ParseErrorAction)
        {
            foreach (var wrong in parsed.Errors)
                error.WriteLine(wrong.Message);
            return ExitCode.Failed;
        }

        return parsed.Invoke(new InvocationConfiguration { Output = output, Error = error });
    }

    private static int InFolder(string path, Battery battery)
    {
        var folder = Path.TrimEndingDirectorySeparator(Path.GetFullPath(path));
        var name = Path.GetFileName(folder);
        var (offered, refused) = PlugInDirectory.Load(
            Path.GetDirectoryName(folder) ?? folder, new Dictionary<string, string> { [name] = PlugInFiles.Read(folder).Hash });
        return offered is [var plugIn]
            ? battery.Try(plugIn, null)
            : throw new UsageException(refused.First(r => r.Place == name).Reason);
    }

    private static int Remote(RemotePlugInSettings settings, Battery battery)
    {
        if (RemotePlugInRules.Broken([settings]).FirstOrDefault() is { Field: not null } fault)
            throw new UsageException($"{fault.Field} {fault.Rule}.");
        using var plugIn = new RemotePlugIn(settings, NullLogger.Instance);
        plugIn.Start();
        if (!plugIn.WaitUntilAvailable(settings.StartDeadline))
            throw new UsageException($"It does not answer: {plugIn.Status.Reason ?? "it is still starting"}");
        return battery.Try(new OfferedPlugIn(settings.Id, plugIn, ""), () => plugIn.Status.Starts);
    }
}
