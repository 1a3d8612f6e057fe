using System.Runtime.ExceptionServices;
using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>What becomes of a plugged-in life model that breaks its contract.</summary>
internal static class PlugInFailures
{
    /// <summary>The reason that stands where its answer would among those of other models.</summary>
    /// <param name="failure">What it did.</param>
    public static NotEstimable ToReason(LifeModelFailedException failure) => new(
        AnalysisWarningCodes.LifeModelFailed, $"The life model {failure.ModelId}, a plug-in's, failed: {failure.Reason}");

    /// <summary>Runs work on many threads, and throws a model's failure as it would be thrown on one.</summary>
    /// <param name="work">The work.</param>
    /// <exception cref="LifeModelFailedException">A plugged-in model broke its contract on one of them.</exception>
    public static void AloneOf(Action work)
    {
        try
        {
            work();
        }
        catch (AggregateException many) when (many.Flatten().InnerExceptions.OfType<LifeModelFailedException>().FirstOrDefault() is { } failure)
        {
            ExceptionDispatchInfo.Throw(failure);
        }
    }
}
