using System.Text;
using Reliability.Cli.Terminals;
using Spectre.Console;

namespace Reliability.Cli.Tests.Terminals;

/// <summary>A terminal that keeps what is written.</summary>
internal sealed class MemoryTerminal
{
    private readonly StringBuilder _out = new();
    private readonly StringBuilder _error = new();

    public MemoryTerminal(int width = 160)
    {
        StringWriter output = new(_out);
        Terminal = new Terminal(Console(output, width), Console(new StringWriter(_error), width), output);
    }

    public Terminal Terminal { get; }

    public string Out => _out.ToString();

    public string Error => _error.ToString();

    /// <summary>The cells of a row of a table that begins with this text, by the width of their columns.</summary>
    public string[] Row(string start) =>
        Out.Split('\n').Single(line => line.TrimStart().StartsWith(start, StringComparison.Ordinal))
            .Split("  ", StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries);

    private static IAnsiConsole Console(StringWriter writer, int width)
    {
        IAnsiConsole console = AnsiConsole.Create(new AnsiConsoleSettings
        {
            Ansi = AnsiSupport.No,
            ColorSystem = ColorSystemSupport.NoColors,
            Interactive = InteractionSupport.No,
            Out = new AnsiConsoleOutput(writer),
        });
        console.Profile.Width = width;
        return console;
    }
}
