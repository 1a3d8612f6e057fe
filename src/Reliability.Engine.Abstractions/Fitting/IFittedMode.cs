namespace Reliability.Engine.Abstractions;

/// <summary>One failure mode of a fitted life. Immutable; may be used from many threads.</summary>
public interface IFittedMode
{
    /// <summary>Its name.</summary>
    string Name { get; }

    /// <summary>Whether these are the failures whose mode nobody knows.</summary>
    bool IsUnknown { get; }

    /// <summary>Lives that failed so (sum of counts).</summary>
    double FailureCount { get; }

    /// <summary>Lives as if the other modes were absent.</summary>
    IFittedLife Life { get; }

    /// <summary>Fraction that has failed by an age in this mode, all modes being at work.</summary>
    /// <param name="hours">Age in hours, 0 or more.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>A fraction, without bounds.</returns>
    double Incidence(double hours, CancellationToken cancellationToken = default);
}
