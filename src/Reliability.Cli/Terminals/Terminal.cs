using System.Text;
using Spectre.Console;

namespace Reliability.Cli.Terminals;

/// <summary>Where answers and messages go.</summary>
/// <param name="Out">Tables for people.</param>
/// <param name="Error">Messages and progress.</param>
/// <param name="Raw">Answers for programs, never wrapped or coloured; the same place as <paramref name="Out"/>.</param>
internal sealed record Terminal(IAnsiConsole Out, IAnsiConsole Error, TextWriter Raw)
{
    /// <summary>The width of tables that go into a file or to another program.</summary>
    private const int RedirectedWidth = 160;

    /// <summary>The terminal of this process.</summary>
    public static Terminal OfProcess()
    {
        if (Console.IsOutputRedirected)
            Console.OutputEncoding = new UTF8Encoding(encoderShouldEmitUTF8Identifier: false);
        IAnsiConsole output = AnsiConsole.Create(new AnsiConsoleSettings { Out = new AnsiConsoleOutput(Console.Out) });
        if (Console.IsOutputRedirected)
            output.Profile.Width = RedirectedWidth;
        IAnsiConsole error = AnsiConsole.Create(new AnsiConsoleSettings { Out = new AnsiConsoleOutput(Console.Error) });
        if (Console.IsErrorRedirected)
            error.Profile.Width = RedirectedWidth;
        return new Terminal(output, error, Console.Out);
    }

    /// <summary>Writes a line of plain text for people.</summary>
    public void Line(string text = "") => Out.WriteLine(text);

    /// <summary>Writes a message about what went wrong.</summary>
    public void Complain(string text) => Error.WriteLine(text);
}
