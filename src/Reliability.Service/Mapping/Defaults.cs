namespace Reliability.Service.Mapping;

/// <summary>Values used where a request leaves the choice; answers tell which was used.</summary>
internal static class Defaults
{
    /// <summary>Level of confidence bounds.</summary>
    public const double ConfidenceLevel = 0.95;

    /// <summary>Accepted chance of failure before the date to act by.</summary>
    public const double RiskLimit = 0.05;
}
