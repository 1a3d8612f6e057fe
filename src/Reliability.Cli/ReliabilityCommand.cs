using System.CommandLine;
using System.CommandLine.Invocation;
using System.CommandLine.Parsing;
using Reliability.Cli.Aliases;
using Reliability.Cli.Assessment;
using Reliability.Cli.Catalog;
using Reliability.Cli.Comparison;
using Reliability.Cli.Corrections;
using Reliability.Cli.Fits;
using Reliability.Cli.Lives;
using Reliability.Cli.Modules;
using Reliability.Cli.PlugIns;
using Reliability.Cli.Posting;
using Reliability.Cli.Predictions;
using Reliability.Cli.Replacements;
using Reliability.Cli.Survival;
using Reliability.Cli.Terminals;
using Reliability.Cli.Watching;

namespace Reliability.Cli;

/// <summary>The command line as a whole.</summary>
internal static class ReliabilityCommand
{
    /// <summary>Runs a command line.</summary>
    /// <param name="args">The arguments.</param>
    /// <param name="terminal">Where answers and messages go.</param>
    /// <returns>One of <see cref="ExitCode"/>.</returns>
    public static async Task<int> RunAsync(IReadOnlyList<string> args, Terminal terminal)
    {
        ParseResult parse = Create(new CommandContext(terminal)).Parse(args);
        if (parse.Action is ParseErrorAction)
        {
            foreach (ParseError error in parse.Errors)
                terminal.Complain(ParseErrorText.Of(error.Message));
            terminal.Complain("See: reliability --help, or --help after a command.");
            return ExitCode.Failed;
        }
        return await parse.InvokeAsync(new InvocationConfiguration { Output = terminal.Raw, EnableDefaultExceptionHandler = false })
            .ConfigureAwait(false);
    }

    private static RootCommand Create(CommandContext context) => new("How long modules last: post what happened to them, and ask.")
    {
        context.Address,
        context.Json,
        new PostCommand(context).Create(),
        new ModelsCommand(context).Create(),
        new RetractCommand(context).Create(),
        new ReplaceCommand(context).Create(),
        new EraseNoteCommand(context).Create(),
        new WatchCommand(context).Create(),
        new ModulesCommand(context).Create(),
        new ModuleCommand(context).Create(),
        new AliasesCommand(context).Create(),
        new LivesCommand(context).Create(),
        new AttributesCommand(context).Create(),
        new LifeModelsCommand(context).Create(),
        new PlugInsCommand(context).Create(),
        new FitCommand(context).Create(),
        new AssessCommand(context).Create(),
        new SurvivalCommand(context).Create(),
        new ReplacementsCommand(context).Create(),
        new CompareCommand(context).Create(),
        new PredictCommand(context).Create(),
        new PredictFleetCommand(context).Create(),
    };
}
