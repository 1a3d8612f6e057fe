using System.Globalization;
using Reliability.Analysis;
using Reliability.History.Lives;
using Reliability.Service.Hosting;
using Reliability.Service.Mapping;
using Reliability.Service.Paging;
using Reliability.Store;
using Reliability.Store.Lives;

namespace Reliability.Service.Lives;

/// <summary>
/// Lists the lives of a cohort. The default view is paged by the store; another cut-off, policy or failure mode derives
/// the lives anew for each page.
/// </summary>
internal sealed class LifeList(OrganisationStore store, RevisionGate gate, TimeProvider time)
{
    public async Task<V1.ListLivesResponse> ListAsync(V1.ListLivesRequest request, CancellationToken cancellation)
    {
        var selection = CohortMapping.FromWire(request.Cohort ?? new V1.Cohort());
        var size = ListPage.Size(request.PageSize, Limits.MaxLivesPageSize);
        var response = IsDefaultView(selection.Derivation)
            ? await StoredAsync(request, selection, size, cancellation)
            : await DerivedAsync(request, selection, size, cancellation);
        if (request.PageToken.Length == 0)
            response.ExcludedLives.AddRange(await ExcludedAsync(selection, cancellation));
        return response;
    }

    private async Task<V1.ListLivesResponse> StoredAsync(
        V1.ListLivesRequest request, CohortSelection selection, int size, CancellationToken cancellation)
    {
        var after = StoreToken.Read(request, request.PageToken);
        await gate.WaitAsync(request.MinimumRevision, cancellation);
        var page = await store.Lives.ListAsync(
            selection, request.IncludedOnly, size, after, cancellation);
        var response = new V1.ListLivesResponse { NextPageToken = StoreToken.Make(request, page.Next) };
        response.Lives.AddRange(page.Items
            .Where(stored => IsListed(stored.Life, request, selection))
            .Select(stored => LifeMapping.ToWire(stored, selection.IncludeFlagged)));
        return response;
    }

    private async Task<V1.ListLivesResponse> DerivedAsync(
        V1.ListLivesRequest request, CohortSelection selection, int size, CancellationToken cancellation)
    {
        var skip = 0;
        if (BoundToken.Read(request, request.PageToken) is { } place
            && !int.TryParse(place, NumberStyles.None, CultureInfo.InvariantCulture, out skip))
        {
            throw BoundToken.Malformed();
        }

        await gate.WaitAsync(request.MinimumRevision, cancellation);
        var response = new V1.ListLivesResponse();
        var at = 0;
        await foreach (var stored in ReadAsync(selection, cancellation))
        {
            if (!IsListed(stored.Life, request, selection) || at++ < skip)
                continue;
            if (response.Lives.Count == size)
            {
                response.NextPageToken = BoundToken.Make(request, (skip + size).ToString(CultureInfo.InvariantCulture));
                break;
            }

            response.Lives.Add(LifeMapping.ToWire(stored, selection.IncludeFlagged));
        }

        return response;
    }

    private async Task<IEnumerable<V1.ReasonCount>> ExcludedAsync(CohortSelection selection, CancellationToken cancellation)
    {
        var lives = new List<Life>();
        await foreach (var stored in ReadAsync(selection, cancellation))
            lives.Add(stored.Life);
        return SampleLives.Build(lives, selection, time.GetUtcNow()).Summary.ExcludedLives.Select(SampleSummaryMapping.ToWire);
    }

    private IAsyncEnumerable<StoredLife> ReadAsync(CohortSelection selection, CancellationToken cancellation) =>
        store.Lives.ReadAsync(selection, selection.Derivation, cancellation);

    private static bool IsListed(Life life, V1.ListLivesRequest request, CohortSelection selection) =>
        !request.IncludedOnly || life.Counts(selection.IncludeFlagged);

    private static bool IsDefaultView(DerivationOptions options) =>
        options is { DataCutoffTime: null, UnknownRenewalRenews: null, FailureMode: null }
        && ReferenceEquals(options.OutcomePolicy, OutcomePolicy.Default);
}
