namespace Reliability.PlugInCheck;

/// <summary>What the process answers to whoever started it.</summary>
internal static class ExitCode
{
    /// <summary>Every rule that could be tried is kept.</summary>
    public const int Kept = 0;

    /// <summary>A rule is broken, the service would refuse the plug-in, or one of its models could not be tried at all.</summary>
    public const int Broken = 1;

    /// <summary>The command line was wrong, or the plug-in could not be loaded or reached.</summary>
    public const int Failed = 2;
}
