namespace Reliability.Benchmarks.Harness;

/// <summary>Something that can be measured: `-- NAME` on the command line runs it.</summary>
internal interface ISubject
{
    /// <summary>Its name on the command line.</summary>
    string Name { get; }

    /// <summary>What it measures, in a line.</summary>
    string Description { get; }

    /// <summary>Measures, reporting figures as they come.</summary>
    /// <param name="report">Takes each figure.</param>
    /// <param name="cancellationToken">Ends it.</param>
    Task RunAsync(Action<Figure> report, CancellationToken cancellationToken);
}
