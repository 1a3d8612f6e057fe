using Google.Protobuf;
using Grpc.Core;
using Reliability.Files.EventFiles;
using Reliability.V1;

namespace Reliability.Cli.Posting;

/// <summary>
/// Asks the service what would become of a file. The service reads it itself, as an upload that is only checked, so that
/// all rows of the file count as arrived for each other.
/// </summary>
internal sealed class DryRun(ModuleHistoryService.ModuleHistoryServiceClient history)
{
    private const int ChunkSize = 1 << 16;
    private const int PageSize = 500;

    /// <summary>Checks a file.</summary>
    /// <param name="file">The file.</param>
    /// <param name="header">How it is to be read.</param>
    /// <param name="refusals">Gets the rows that would be refused.</param>
    /// <param name="cancellation">Ends the check.</param>
    /// <exception cref="RpcException">The service cannot be reached, or cannot use the file.</exception>
    public async Task<PostReport> RunAsync(PostFile file, EventFileHeader header, RefusalFile refusals, CancellationToken cancellation)
    {
        Upload upload = (await UploadAsync(file, header, cancellation).ConfigureAwait(false)).Upload;
        try
        {
            await WriteRefusedAsync(upload.Name, refusals, cancellation).ConfigureAwait(false);
        }
        finally
        {
            // Its rejected rows are in the file now, and should not lie about on the service too.
            await history.DeleteUploadAsync(new DeleteUploadRequest { Name = upload.Name }, cancellationToken: cancellation).ConfigureAwait(false);
        }
        return new PostReport(
            file.File.Path, upload.RowCount, upload.RecordedCount, upload.DuplicateCount,
            upload.UnresolvedEvents.ToDictionary(reason => reason.Reason, reason => reason.Count), upload.RejectedRowCount,
            upload.IgnoredRows.ToDictionary(ignored => ignored.Reason, ignored => ignored.Count),
            [.. upload.UnknownCodes.Select(code => new UnknownCodeCount(code.Column, code.Table, code.Code, code.Count))],
            upload.FutureCount, upload.RejectedRowCount > 0 ? refusals.Path : null, "");
    }

    private async Task<UploadEventsResponse> UploadAsync(PostFile file, EventFileHeader header, CancellationToken cancellation)
    {
        using AsyncClientStreamingCall<UploadEventsRequest, UploadEventsResponse> call = history.UploadEvents(cancellationToken: cancellation);
        FileStream content = file.File.Open();
        await using (content.ConfigureAwait(false))
        {
            try
            {
                await call.RequestStream.WriteAsync(new UploadEventsRequest { Header = header }, cancellation).ConfigureAwait(false);
                byte[] chunk = new byte[ChunkSize];
                int read;
                while ((read = await content.ReadAsync(chunk, cancellation).ConfigureAwait(false)) > 0)
                {
                    UploadEventsRequest part = new() { Content = ByteString.CopyFrom(chunk, 0, read) };
                    await call.RequestStream.WriteAsync(part, cancellation).ConfigureAwait(false);
                }
                await call.RequestStream.CompleteAsync().ConfigureAwait(false);
            }
            catch (RpcException)
            {
                // The service has answered already; why stands in the answer.
            }
            return await call.ConfigureAwait(false);
        }
    }

    private async Task WriteRefusedAsync(string upload, RefusalFile refusals, CancellationToken cancellation)
    {
        ListRejectedRowsRequest request = new() { Parent = upload, PageSize = PageSize };
        do
        {
            ListRejectedRowsResponse page = await history.ListRejectedRowsAsync(request, cancellationToken: cancellation).ConfigureAwait(false);
            foreach (RejectedRow row in page.RejectedRows)
            {
                string reason = string.Join("; ", row.Violations.Select(violation =>
                    violation.Field.Length == 0 ? violation.Rule : $"{violation.Field}: {violation.Rule}"));
                refusals.Add(new FileRow(row.Line, row.Row, [], []), reason);
            }
            request.PageToken = page.NextPageToken;
        }
        while (request.PageToken.Length > 0);
    }
}
