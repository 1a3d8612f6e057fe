namespace Reliability.Cli.Terminals;

/// <summary>What the process answers to whoever started it.</summary>
internal static class ExitCode
{
    /// <summary>All went well; of a post: everything was accepted.</summary>
    public const int Success = 0;

    /// <summary>The service refused the request, or some of what was posted.</summary>
    public const int Refused = 1;

    /// <summary>The command line, a file or the connection was at fault.</summary>
    public const int Failed = 2;
}
