using System.Runtime.CompilerServices;
using System.Text;
using Google.Api;
using Google.Protobuf;
using Reliability.Files.EventFiles;
using Reliability.Files.Lines;
using Reliability.Service.Events;
using Reliability.Store;
using Reliability.Store.Paging;

namespace Reliability.Service.Uploads;

/// <summary>The rejected rows of an upload as a file that can be put right and uploaded in place of them, a page at a time.</summary>
internal sealed class RejectedRowsFile(Uploading uploading, OrganisationStore store)
{
    private const int RowsOfAChunk = 500;

    /// <summary>What the file is called.</summary>
    /// <param name="upload">The upload.</param>
    public static string NameOf(V1.Upload upload) => "rejected" + Layout(upload).Extension;

    /// <summary>The upload whose rows are asked for.</summary>
    /// <param name="name">Its name.</param>
    /// <param name="cancellation">Ends the search.</param>
    /// <exception cref="Grpc.Core.RpcException">There is none of that name.</exception>
    public Task<V1.Upload> FindAsync(string name, CancellationToken cancellation) => uploading.GetAsync(name, cancellation);

    /// <summary>The file in chunks of whole lines.</summary>
    /// <param name="upload">The upload.</param>
    /// <param name="cancellation">Ends the reading.</param>
    public async IAsyncEnumerable<HttpBody> ReadAsync(
        V1.Upload upload, [EnumeratorCancellation] CancellationToken cancellation)
    {
        var layout = Layout(upload);
        var encoding = layout.Encoding == TextEncoding.Latin1 ? Encoding.Latin1 : new UTF8Encoding(encoderShouldEmitUTF8Identifier: false);
        var contentType = layout.Heading is null
            ? "application/x-ndjson; charset=utf-8"
            : $"text/csv; charset={upload.RejectedRowsCharset}; header=present";
        var lines = new StringBuilder();
        if (layout.Heading is not null)
            lines.Append(layout.Heading).Append('\n');
        PageToken? after = null;
        do
        {
            var page = await store.Uploads.ListRejectedAsync(ResourceNames.UploadId(upload.Name), RowsOfAChunk, after, cancellation);
            foreach (var row in page.Items.Select(row => V1.RejectedRow.Parser.ParseFrom(row)))
                lines.Append(layout.Row(row.Line, Reason(row), row.Row)).Append('\n');
            after = page.Next;
            if (lines.Length > 0)
                yield return new HttpBody { ContentType = contentType, Data = UnsafeByteOperations.UnsafeWrap(encoding.GetBytes(lines.ToString())) };
            lines.Clear();
        }
        while (after is not null);
    }

    /// <summary>Notes on an upload how its rejected rows are written.</summary>
    /// <param name="upload">The upload.</param>
    /// <param name="layout">How the file that is uploaded lays them out.</param>
    public static void Note(V1.Upload upload, RefusalLayout layout)
    {
        // A header that is longer than a kept row is no use, since the rows below it are cut: they are given as JSON then.
        upload.RejectedRowsHeader = layout.Heading is { Length: <= UploadLimits.MaxKeptRowLength } heading ? heading : string.Empty;
        upload.RejectedRowsCharset = layout.Encoding == TextEncoding.Latin1 ? "iso-8859-1" : "utf-8";
    }

    private static RefusalLayout Layout(V1.Upload upload) => upload.RejectedRowsHeader.Length == 0
        ? RefusalLayout.JsonLines
        : RefusalLayout.OfHeading(upload.RejectedRowsHeader, upload.RejectedRowsCharset == "utf-8" ? TextEncoding.Utf8 : TextEncoding.Latin1);

    // In the words of the command line's file of refusals.
    private static string Reason(V1.RejectedRow row)
    {
        var violations = row.Violations.Select(violation => violation.Field.Length == 0 ? violation.Rule : $"{violation.Field}: {violation.Rule}");
        var reason = row.Violations.Count > 0 ? string.Join("; ", violations) : row.Reason;
        return row.Row.Length < UploadLimits.MaxKeptRowLength ? reason : $"{reason}; the row is cut here, take it from your file";
    }
}
