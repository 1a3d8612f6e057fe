using System.CommandLine;
using Google.Protobuf;
using Grpc.Core;
using Reliability.Cli.Answers;
using Reliability.Cli.Connections;
using Reliability.Cli.Samples;
using Reliability.Cli.Terminals;
using Reliability.Files;
using Reliability.Plots.Sheets;

namespace Reliability.Cli;

/// <summary>What every command has: the terminal, the options that all share, and one way to fail.</summary>
internal sealed class CommandContext(Terminal terminal)
{
    /// <summary>Where answers and messages go.</summary>
    public Terminal Terminal { get; } = terminal;

    /// <summary>Where the service is.</summary>
    public Option<string> Address { get; } = new("--address")
    {
        Description = "The gRPC address of the service; RELIABILITY_ADDRESS of the environment when absent.",
        DefaultValueFactory = _ => Environment.GetEnvironmentVariable("RELIABILITY_ADDRESS") is { Length: > 0 } address
            ? address
            : "http://127.0.0.1:7080",
        Recursive = true,
    };

    /// <summary>Where rows of the request stand in files.</summary>
    public SheetRows Rows { get; } = new();

    /// <summary>Whether the answer is for programs.</summary>
    public Option<bool> Json { get; } = new("--json")
    {
        Description = "Print the answer as JSON, as the service's HTTP side gives it.",
        Recursive = true,
    };

    /// <summary>Makes a command that asks the service.</summary>
    /// <param name="command">The command with its arguments and options.</param>
    /// <param name="ask">Asks, answers, and gives the exit code.</param>
    public Command Asking(Command command, Func<ServiceConnection, ParseResult, CancellationToken, Task<int>> ask)
    {
        command.SetAction(async (parse, cancellation) =>
        {
            string address = parse.GetRequiredValue(Address);
            try
            {
                using ServiceConnection connection = new(address);
                return await ask(connection, parse, cancellation).ConfigureAwait(false);
            }
            catch (RpcException failure) when (failure.StatusCode == StatusCode.Cancelled && cancellation.IsCancellationRequested)
            {
                return Stopped();
            }
            catch (OperationCanceledException) when (cancellation.IsCancellationRequested)
            {
                return Stopped();
            }
            catch (RpcException failure) when (RefusalText.IsUnreachable(failure))
            {
                Terminal.Complain(RefusalText.Unreachable(failure, address));
                return ExitCode.Failed;
            }
            catch (RpcException refusal)
            {
                foreach (string line in RefusalText.Lines(refusal, Rows.Place))
                    Terminal.Complain(line);
                return ExitCode.Refused;
            }
            catch (Exception problem) when (problem is UsageException or FileUnusableException or PlotException)
            {
                Terminal.Complain(problem.Message);
                return ExitCode.Failed;
            }
            catch (Exception defect)
            {
                // A fault of this program: people get its name to report, not its insides.
                Terminal.Complain($"This went wrong unexpectedly, and should not have: {defect.GetType().Name}: {defect.Message}");
                return ExitCode.Failed;
            }
        });
        return command;
    }

    /// <summary>Gives an answer: as JSON where asked for, else as tables.</summary>
    public int Answer<T>(ParseResult parse, T answer, Action<T> write)
        where T : IMessage
    {
        if (parse.GetValue(Json))
            Terminal.Raw.WriteLine(JsonAnswer.Of(answer));
        else
            write(answer);
        return ExitCode.Success;
    }

    private int Stopped()
    {
        Terminal.Complain("Stopped.");
        return ExitCode.Failed;
    }
}
