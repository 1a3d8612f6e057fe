namespace Reliability.Engine.Abstractions;

/// <summary>
/// A life model that can be fitted to a sample: the built-in ones, or a plug-in's. Stateless; may be used from many threads.
/// Work is done on the calling thread.
/// </summary>
public interface ILifeModel
{
    /// <summary>What the model is and can do.</summary>
    LifeModelDescription Description { get; }

    /// <summary>The distribution behind the model, evaluated at any parameters; null when the model has none to show.</summary>
    ILifeFamily? Family { get; }

    /// <summary>Fits the model to a sample.</summary>
    /// <param name="sample">The lives.</param>
    /// <param name="options">Bounds, fixed parameters and so on.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>The fitted life, or why these data allow none.</returns>
    /// <exception cref="UnsupportedRequestException">An option is out of range or not available for this model.</exception>
    /// <exception cref="OperationCanceledException">The token was cancelled.</exception>
    Estimable<IFittedLife> Fit(LifeSample sample, FitOptions options, CancellationToken cancellationToken = default);
}
