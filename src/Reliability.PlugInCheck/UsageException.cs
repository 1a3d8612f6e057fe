namespace Reliability.PlugInCheck;

/// <summary>The command line cannot be followed, or the plug-in cannot be reached; the message says why.</summary>
internal sealed class UsageException(string message) : Exception(message);
