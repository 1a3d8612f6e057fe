namespace Reliability.History.Lives;

/// <summary>Failure modes that the rules themselves give.</summary>
public static class FailureModes
{
    /// <summary>Output fell below the threshold of the module model.</summary>
    public const string Output = "output";
}
