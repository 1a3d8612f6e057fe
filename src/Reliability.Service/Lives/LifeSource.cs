using Reliability.Analysis;
using Reliability.Service.Errors;
using Reliability.Service.Mapping;
using Reliability.Service.Validation;
using Reliability.Store;

namespace Reliability.Service.Lives;

/// <summary>Gathers the lives of a question: from the record, or from the question itself.</summary>
internal sealed class LifeSource(OrganisationStore store, RevisionGate gate, RecordTimeGate recordTime, LivesMemory memory, TimeProvider time)
{
    /// <summary>Reads which lives are asked for, and tells what is wrong with them.</summary>
    /// <param name="cohort">The cohort of the request, or null.</param>
    /// <param name="sample">The sample of the request, or null.</param>
    /// <param name="path">Where they stand in the request, such as <c>groups[1].</c>; empty for the request itself.</param>
    /// <param name="violations">Gets what is wrong.</param>
    public static LivesAsked Ask(V1.Cohort? cohort, V1.InlineSample? sample, string path, Violations violations)
    {
        var cohortPath = path + "cohort.";
        if (sample is not null)
            return new(null, SampleCheck.Read(sample, path + "sample", violations), cohortPath);
        // The rules of a cohort stand in the protos; it may be read once they hold.
        return new(cohort is not null && violations.IsEmpty ? CohortMapping.FromWire(cohort) : null, null, cohortPath);
    }

    /// <summary>Finds the lives.</summary>
    /// <param name="asked">Which lives.</param>
    /// <param name="minimumRevision">A revision that must be taken in first; empty for none.</param>
    /// <param name="cancellation">Ends the search.</param>
    public async Task<LivesFound> FindAsync(LivesAsked asked, string minimumRevision, CancellationToken cancellation)
    {
        if (asked.Inline is { } inline)
            return new LivesFound(CohortSample.Inline(inline), string.Empty);
        var cohort = asked.Cohort!;
        await gate.WaitAsync(minimumRevision, cancellation);
        await recordTime.WaitAsync(cohort.AsOfRecordTime, asked.CohortPath, cancellation);
        var selection = cohort.Under(await store.Aliases.ReadAsync(cohort.AsOfRecordTime, cancellation));
        // Asked before the lives are read: they are at least as new as it says.
        var revision = await gate.CurrentAsync(selection.AsOfRecordTime, cancellation);
        var view = CohortMapping.View(selection);
        if (view.IsStored)
            return await StoredAsync(selection, revision, cancellation);
        var sample = new CohortSampleBuilder(selection, time.GetUtcNow());
        await foreach (var stored in store.Lives.ReadAsync(selection, view, cancellation))
            sample.Add(stored.Life);
        return new LivesFound(sample.Build(), revision);
    }

    /// <summary>
    /// Lives as they are stored, or the sample that was made of them when they were the same. Their mark is read after the revision:
    /// what the revision has taken in, the mark tells of. Only this view is kept: others are derived from records, which may be ahead of
    /// the mark.
    /// </summary>
    private async Task<LivesFound> StoredAsync(CohortSelection selection, string revision, CancellationToken cancellation)
    {
        var now = time.GetUtcNow();
        if (await store.Lives.VersionAsync(cancellation) is not { } version)
            return new LivesFound(await ReadAsync(), revision);
        var key = new LivesKey(store.Organisation, CohortMapping.ToWire(selection), null);
        var sample = memory.Find<CohortSample>(key, version)?.At(now);
        if (sample is null)
        {
            sample = await ReadAsync();
            memory.Keep(key, version, sample, sample.SizeInBytes);
        }

        return new LivesFound(sample, revision) { Kept = (memory, key, version) };

        async Task<CohortSample> ReadAsync()
        {
            var builder = new CohortSampleBuilder(selection, now);
            await store.Lives.ReadForSampleAsync(selection, life => builder.Add(life), cancellation);
            return builder.Build();
        }
    }
}
