namespace Reliability.Reference;

/// <summary>The bounds methods that the files hold values for.</summary>
public enum ReferenceBounds
{
    NormalApproximation,
    LikelihoodRatio,
    ExactTimeTerminated,
    ExactFailureTerminated,
}
