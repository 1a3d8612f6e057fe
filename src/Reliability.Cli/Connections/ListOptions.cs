using System.CommandLine;
using Reliability.Cli.Terminals;

namespace Reliability.Cli.Connections;

/// <summary>The options of commands that list.</summary>
internal sealed class ListOptions
{
    private readonly Option<int> _limit = new("--limit")
    {
        Description = "List at most this many.",
        DefaultValueFactory = _ => 200,
    };

    /// <summary>Adds the options to a command.</summary>
    public void AddTo(Command command) => command.Add(_limit);

    /// <summary>How many are wanted.</summary>
    /// <exception cref="UsageException">Fewer than one.</exception>
    public int Limit(ParseResult parse)
    {
        int limit = parse.GetValue(_limit);
        return limit > 0 ? limit : throw new UsageException("--limit: give a number of 1 or more.");
    }

    /// <summary>Says that there is more than is listed.</summary>
    public static void TellMore(Terminal terminal, bool more, int listed)
    {
        if (more)
            terminal.Line($"There are more than these {listed}; --limit lists more, filters list fewer.");
    }
}
