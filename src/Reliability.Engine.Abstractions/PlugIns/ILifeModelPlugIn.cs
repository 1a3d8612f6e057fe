namespace Reliability.Engine.Abstractions;

/// <summary>
/// What adds life models to an engine. A plug-in that is loaded into the service's process is a folder of assemblies, one of which has
/// exactly one public class that implements this interface and has a constructor without parameters. A plug-in that runs in a process
/// of its own is shown to the engine as an object of this kind too, and so are the models that ship.
/// <para>Threads: the object is made once. Its members, and the families and estimators it gives, may be used from many threads at once
/// and keep nothing from one call to the next. Work is done on the calling thread; start no threads that outlive a call.</para>
/// <para>Errors: constructor and properties do little and throw nothing; a plug-in whose members throw here is refused as a whole. What a
/// family or estimator throws later costs its caller an answer (<see cref="LifeModelFailedException"/>) and nobody else anything.</para>
/// <para>Cancellation: methods that take a token stop soon after it is cancelled, with <see cref="OperationCanceledException"/>. Those that
/// take none work on short batches and return in milliseconds.</para>
/// <para>Units: ages and lives are run-hours throughout, densities per hour, logarithms natural.</para>
/// </summary>
public interface ILifeModelPlugIn
{
    /// <summary>Stable id of the plug-in, lower case letters and digits with hyphens, for example <c>wear-models</c>. No two plug-ins of an
    /// installation share one.</summary>
    string Id { get; }

    /// <summary>Version of the plug-in, for people and for answers to carry, for example <c>1.2.0</c>.</summary>
    string Version { get; }

    /// <summary>Who answers for it.</summary>
    string Publisher { get; }

    /// <summary>Distributions, each of which the engine makes a life model of, with fits, bounds, assessment, forecasts and plots. The ids of
    /// families and estimators together are unique within the installation.</summary>
    IReadOnlyList<PublishedFamily> Families => [];

    /// <summary>Life models that fit in their own way.</summary>
    IReadOnlyList<ILifeModel> Estimators => [];
}
