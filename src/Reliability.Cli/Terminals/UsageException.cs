namespace Reliability.Cli.Terminals;

/// <summary>The command line or a file cannot be used as given. The message says why, for people.</summary>
internal sealed class UsageException(string message) : Exception(message);
