using System.CommandLine;
using Reliability.Cli.Connections;
using Reliability.Cli.Modules;

namespace Reliability.Cli.Corrections;

/// <summary>Which event of which module is meant: the arguments that commands about one recorded event share.</summary>
internal sealed class WrongEvent
{
    private readonly Argument<string> _module = new("MODULE") { Description = "The module's id, or serial:..., udi:... or asset:..." };
    private readonly Argument<string> _source = new("SOURCE") { Description = "The source of the event." };
    private readonly Argument<string> _id = new("EVENT_ID") { Description = "The id of the event, as the command module shows it." };

    /// <summary>Adds the arguments to a command.</summary>
    public void AddTo(Command command)
    {
        command.Add(_module);
        command.Add(_source);
        command.Add(_id);
    }

    /// <summary>The source.</summary>
    public string Source(ParseResult parse) => parse.GetRequiredValue(_source);

    /// <summary>The id within the source.</summary>
    public string EventId(ParseResult parse) => parse.GetRequiredValue(_id);

    /// <summary>The resource name of the module.</summary>
    public Task<string> ModuleAsync(ServiceConnection connection, ParseResult parse, CancellationToken cancellation) =>
        ModuleNames.ResolveAsync(connection.History, parse.GetRequiredValue(_module), "", cancellation);
}
