using Reliability.Cli;
using Reliability.Cli.Terminals;

return await ReliabilityCommand.RunAsync(args, Terminal.OfProcess()).ConfigureAwait(false);
