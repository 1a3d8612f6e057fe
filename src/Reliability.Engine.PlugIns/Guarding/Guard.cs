using System.Globalization;
using Reliability.Engine.Abstractions;

namespace Reliability.Engine.PlugIns.Guarding;

/// <summary>
/// Runs what a plugged-in model does: exceptions of any kind become <see cref="LifeModelFailedException"/>, cancellation and refusals of
/// options pass through, and answers that cannot be are failures too. Holds no state beyond the id that failures carry.
/// </summary>
/// <param name="modelId">Id of the model.</param>
internal sealed class Guard(string modelId)
{
    /// <summary>Runs something that may be cancelled.</summary>
    /// <param name="what">What is done, as in "its {what} broke off".</param>
    /// <param name="work">The plug-in's code.</param>
    /// <param name="cancellationToken">The token that the code was given.</param>
    public T Run<T>(string what, Func<T> work, CancellationToken cancellationToken = default)
    {
        try
        {
            return CallerCancellation.Within(work, cancellationToken) ?? throw Failed($"its {what} answered nothing");
        }
        catch (Exception e) when (Becomes(e, what, cancellationToken) is { } failure)
        {
            throw failure;
        }
    }

    /// <summary>What an exception of the plug-in's becomes; null for those that pass as they are.</summary>
    public LifeModelFailedException? Becomes(Exception thrown, string what, CancellationToken cancellationToken) => thrown switch
    {
        LifeModelFailedException or UnsupportedRequestException => null,
        OperationCanceledException when cancellationToken.IsCancellationRequested || CallerCancellation.Current.IsCancellationRequested => null,
        AggregateException many when many.Flatten().InnerExceptions.OfType<LifeModelFailedException>().FirstOrDefault() is { } one => one,
        _ => new LifeModelFailedException(modelId, $"its {what} broke off with an error.", thrown),
    };

    /// <summary>A failure for the caller to throw.</summary>
    public LifeModelFailedException Failed(string reason) => new(modelId, reason + ".");

    /// <summary>Throws unless a number is finite.</summary>
    public void Finite(double number, string what)
    {
        if (!double.IsFinite(number))
            throw Failed($"its {what} is {Text(number)}");
    }

    /// <summary>A number for a message.</summary>
    public static string Text(double number) => number.ToString("G6", CultureInfo.InvariantCulture);
}
