namespace Reliability.Engine.Abstractions;

/// <summary>
/// A life model that predicts single units with the uncertainty of its parameters taken in; see
/// <see cref="LifeModelCapabilities.PredictsLives"/>. Stateless; may be used from many threads.
/// </summary>
public interface ILifePredictor
{
    /// <summary>The predictive distribution of the life of one more unit like those of a sample.</summary>
    /// <param name="sample">The lives.</param>
    /// <param name="sameShape">Further samples that are taken to share the shape of <paramref name="sample"/>, whatever their scales;
    /// none to rest on the sample alone. Their uncertainty about the shape goes into the prediction.</param>
    /// <param name="options">Termination and fixed parameters; the rest does not matter here.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>The distribution, or why these data allow none: fewer than two failures, say, and no shape held or shared.</returns>
    /// <exception cref="UnsupportedRequestException">An option is out of range or not available for this model.</exception>
    /// <exception cref="OperationCanceledException">The token was cancelled.</exception>
    Estimable<IPredictiveLife> Predict(
        LifeSample sample, IReadOnlyList<LifeSample> sameShape, FitOptions options, CancellationToken cancellationToken = default);
}
