using Reliability.Analysis;
using Reliability.Service.Hosting;
using Reliability.Service.Mapping;
using Reliability.Service.Paging;
using Reliability.Store;
using Reliability.Store.Lives;

namespace Reliability.Service.Lives;

/// <summary>
/// Lists the lives of a cohort. In the present view a page is read as stored; another cut-off, policy, failure mode or
/// state of the record derives the lives of its modules anew.
/// </summary>
internal sealed class LifeList(OrganisationStore store, RevisionGate gate, RecordTimeGate recordTime, TimeProvider time)
{
    public async Task<V1.ListLivesResponse> ListAsync(V1.ListLivesRequest request, CancellationToken cancellation)
    {
        var cohort = CohortMapping.FromWire(request.Cohort ?? new V1.Cohort());
        var after = StoreToken.Read(request, request.PageToken);
        await gate.WaitAsync(request.MinimumRevision, cancellation);
        await recordTime.WaitAsync(cohort.AsOfRecordTime, "cohort.", cancellation);
        var selection = cohort.Under(await store.Aliases.ReadAsync(cohort.AsOfRecordTime, cancellation));
        var page = await store.Lives.ListAsync(
            selection, CohortMapping.View(selection), Listed(request.IncludedOnly, selection),
            ListPage.Size(request.PageSize, Limits.MaxLivesPageSize), after, cancellation);
        var response = new V1.ListLivesResponse { NextPageToken = StoreToken.Make(request, page.Next) };
        response.Lives.AddRange(page.Items.Select(stored => LifeMapping.ToWire(stored, selection.IncludeFlagged)));
        if (request.PageToken.Length == 0)
            response.ExcludedLives.AddRange(await ExcludedAsync(selection, cancellation));
        return response;
    }

    /// <summary>Which lives of a cohort are listed.</summary>
    /// <param name="includedOnly">Only those that enter samples.</param>
    /// <param name="selection">The cohort.</param>
    public static LivesListed Listed(bool includedOnly, CohortSelection selection) =>
        !includedOnly ? LivesListed.All
        : selection.IncludeFlagged ? LivesListed.CountingOrFlagged : LivesListed.Counting;

    /// <summary>Counts over the whole cohort: in another view than the present one, all its records are derived.</summary>
    private async Task<IEnumerable<V1.ReasonCount>> ExcludedAsync(CohortSelection selection, CancellationToken cancellation)
    {
        var sample = new CohortSampleBuilder(selection, time.GetUtcNow());
        await foreach (var stored in store.Lives.ReadNotCountingAsync(selection, CohortMapping.View(selection), cancellation))
            sample.Add(stored.Life);
        return sample.Build().Summary.ExcludedLives.Select(SampleSummaryMapping.ToWire);
    }
}
