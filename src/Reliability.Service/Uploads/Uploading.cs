using Grpc.Core;
using Reliability.Service.Errors;
using Reliability.Service.Events;
using Reliability.Service.Paging;
using Reliability.Store;
using Code = Google.Rpc.Code;

namespace Reliability.Service.Uploads;

/// <summary>Takes uploads, so many at a time, whichever way they come.</summary>
internal sealed class Uploading(
    EventPosting posting, OrganisationStore store, TimeProvider time, UploadSlots slots, UploadOptions options, OpenStreams open)
{
    private readonly SenderPatience _patience = new(options.MaxPause, open.Stopping);

    /// <summary>Records a file, or checks it.</summary>
    /// <param name="header">How it is to be read.</param>
    /// <param name="content">Its bytes.</param>
    /// <param name="caller">Who is to have the answer, before the service ends.</param>
    /// <param name="cancellation">Ends the upload; what was recorded stays.</param>
    /// <exception cref="RpcException">
    /// Header, mapping or file cannot be used, too many uploads are under way, the sender pauses for too long, or the service stops.
    /// </exception>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public async Task<V1.UploadEventsResponse> RunAsync(
        V1.EventFileHeader header, Stream content, HttpContext caller, CancellationToken cancellation)
    {
        open.Add(caller);
        if (!slots.TryTake())
        {
            throw Refusals.TryAgain(
                Code.ResourceExhausted, ErrorReasons.Busy, $"{UploadLimits.MaxAtOnce} uploads are under way. Try again later.").ToRpcException();
        }

        try
        {
            await using var file = await UploadReading.OpenAsync(
                header, new LimitedStream(content, options.MaxFileBytes, _patience), cancellation);
            return await new EventUpload(posting, store, time, header).RunAsync(file, cancellation);
        }
        finally
        {
            slots.GiveBack();
        }
    }

    /// <summary>Records a file that comes as messages, its header first.</summary>
    /// <exception cref="RpcException">As above, or the messages are in another order.</exception>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public async Task<V1.UploadEventsResponse> RunAsync(
        IAsyncStreamReader<V1.UploadEventsRequest> messages, ServerCallContext context)
    {
        var cancellation = context.CancellationToken;
        if (!await _patience.ReadAsync(messages.MoveNext, cancellation) || messages.Current.PartCase != V1.UploadEventsRequest.PartOneofCase.Header)
            throw Refusals.InvalidField("header", "must be in the first message");
        await using var content = new ChunkStream(messages, _patience);
        return await RunAsync(messages.Current.Header, content, context.GetHttpContext(), cancellation);
    }

    /// <summary>What became of an upload.</summary>
    /// <exception cref="RpcException">There is none of that name.</exception>
    public async Task<V1.Upload> GetAsync(string name, CancellationToken cancellation)
    {
        var upload = await store.Uploads.GetAsync(ResourceNames.UploadId(name), time.GetUtcNow(), cancellation);
        return upload is null
            ? throw Refusals.NotFound(ResourceNames.UploadType, name)
            : V1.Upload.Parser.ParseFrom(upload.Summary.Span);
    }

    /// <summary>A page of uploads, the latest first.</summary>
    /// <exception cref="RpcException">The token is none of ours.</exception>
    public async Task<V1.ListUploadsResponse> ListAsync(V1.ListUploadsRequest request, CancellationToken cancellation)
    {
        var page = await store.Uploads.ListAsync(
            time.GetUtcNow(), ListPage.Size(request.PageSize), StoreToken.Read(request, request.PageToken), cancellation);
        var response = new V1.ListUploadsResponse { NextPageToken = StoreToken.Make(request, page.Next) };
        response.Uploads.AddRange(page.Items.Select(upload => V1.Upload.Parser.ParseFrom(upload.Summary.Span)));
        return response;
    }

    /// <summary>A page of the rejected rows of an upload.</summary>
    /// <exception cref="RpcException">There is no such upload, or the token is none of ours.</exception>
    public async Task<V1.ListRejectedRowsResponse> ListRejectedAsync(
        V1.ListRejectedRowsRequest request, CancellationToken cancellation)
    {
        await GetAsync(request.Parent, cancellation);
        var page = await store.Uploads.ListRejectedAsync(
            ResourceNames.UploadId(request.Parent), ListPage.Size(request.PageSize),
            StoreToken.Read(request, request.PageToken), cancellation);
        var response = new V1.ListRejectedRowsResponse { NextPageToken = StoreToken.Make(request, page.Next) };
        response.RejectedRows.AddRange(page.Items.Select(row => V1.RejectedRow.Parser.ParseFrom(row)));
        return response;
    }

    /// <summary>Deletes an upload with its rejected rows.</summary>
    /// <exception cref="RpcException">There is none of that name.</exception>
    public async Task<V1.DeleteUploadResponse> DeleteAsync(string name, CancellationToken cancellation) =>
        await store.Uploads.DeleteAsync(ResourceNames.UploadId(name), time.GetUtcNow(), cancellation)
            ? new V1.DeleteUploadResponse()
            : throw Refusals.NotFound(ResourceNames.UploadType, name);
}
