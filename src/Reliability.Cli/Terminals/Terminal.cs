using System.Text;
using Spectre.Console;

namespace Reliability.Cli.Terminals;

/// <summary>Where answers and messages go.</summary>
/// <param name="Out">Tables for people.</param>
/// <param name="Error">Messages and progress.</param>
/// <param name="Raw">Answers for programs, never wrapped or coloured; the same place as <paramref name="Out"/>.</param>
internal sealed record Terminal(IAnsiConsole Out, IAnsiConsole Error, TextWriter Raw)
{
    /// <summary>The most that tables take when they go into a file or to another program: there is no edge to keep to.</summary>
    private const int RedirectedWidth = 400;

    /// <summary>The longest line of text, so that it can be read.</summary>
    private const int TextWidth = 120;

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

    /// <summary>Writes plain text for people, over several lines where it is long.</summary>
    /// <param name="text">The text; further lines begin as far in as it does.</param>
    /// <param name="hanging">How much further in they begin.</param>
    public void Line(string text = "", int hanging = 0)
    {
        foreach (string line in TextLines.Of(text, Math.Min(TextWidth, Out.Profile.Width), hanging))
            Raw.WriteLine(line);
    }

    /// <summary>Writes a message about what went wrong.</summary>
    public void Complain(string text) => Error.WriteLine(text);
}
