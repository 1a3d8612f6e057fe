namespace Reliability.Engine.Abstractions;

/// <summary>
/// A plugged-in life model did not keep its contract in a call: it threw, answered what cannot be (NaN, a quantile that goes back, a
/// probability above 1, too few numbers), overran its deadline or its limits, or its process ended. The caller gets no answer from this
/// model; the next call may. Not for data that allow no fit, which are <see cref="NotEstimable"/>, nor for cancellation.
/// </summary>
public sealed class LifeModelFailedException : Exception
{
    /// <summary>Makes the exception.</summary>
    /// <param name="modelId">Id of the life model or family that failed.</param>
    /// <param name="reason">What it did, in one or two plain sentences that a caller of the service may read: no stack trace, no path, no
    /// text of a foreign exception.</param>
    /// <param name="innerException">What was thrown, for the log; null when nothing was.</param>
    public LifeModelFailedException(string modelId, string reason, Exception? innerException = null)
        : base($"Life model {modelId} failed: {reason}", innerException)
    {
        ModelId = modelId;
        Reason = reason;
    }

    /// <summary>Id of the life model or family that failed.</summary>
    public string ModelId { get; }

    /// <summary>What it did, fit for a caller's eyes.</summary>
    public string Reason { get; }
}
