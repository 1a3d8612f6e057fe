using Reliability.Analysis;
using Reliability.History.Lives;
using Reliability.Service.Errors;
using Reliability.Service.Mapping;
using Reliability.Service.Validation;
using Reliability.Store;

namespace Reliability.Service.Lives;

/// <summary>Gathers the lives of a question: from the record, or from the question itself.</summary>
internal sealed class LifeSource(OrganisationStore store, RevisionGate gate, TimeProvider time)
{
    /// <summary>Reads which lives are asked for, and tells what is wrong with them.</summary>
    /// <param name="cohort">The cohort of the request, or null.</param>
    /// <param name="sample">The sample of the request, or null.</param>
    /// <param name="path">Where they stand in the request, such as <c>groups[1].</c>; empty for the request itself.</param>
    /// <param name="violations">Gets what is wrong.</param>
    public static LivesAsked Ask(V1.Cohort? cohort, V1.InlineSample? sample, string path, Violations violations)
    {
        if (sample is not null)
            return new(null, SampleCheck.Read(sample, path + "sample", violations));
        // The rules of a cohort stand in the protos; it may be read once they hold.
        return new(cohort is not null && violations.IsEmpty ? CohortMapping.FromWire(cohort) : null, null);
    }

    /// <summary>Finds the lives.</summary>
    /// <param name="asked">Which lives.</param>
    /// <param name="minimumRevision">A revision that must be taken in first; empty for none.</param>
    /// <param name="cancellation">Ends the search.</param>
    public async Task<LivesFound> FindAsync(LivesAsked asked, string minimumRevision, CancellationToken cancellation)
    {
        if (asked.Inline is { } sample)
            return new LivesFound(CohortSample.Inline(sample), string.Empty);
        var selection = asked.Cohort!;
        await gate.WaitAsync(minimumRevision, cancellation);
        // Asked before the lives are read: they are at least as new as it says.
        var revision = await gate.CurrentAsync(cancellation);
        var lives = new List<Life>();
        await foreach (var stored in store.Lives.ReadAsync(selection, selection.Derivation, cancellation))
            lives.Add(stored.Life);
        return new LivesFound(SampleLives.Build(lives, selection, time.GetUtcNow()), revision);
    }
}
