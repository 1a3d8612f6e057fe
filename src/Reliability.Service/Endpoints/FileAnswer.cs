using Google.Api;
using Google.Protobuf;
using Grpc.Core;
using Microsoft.AspNetCore.Grpc.JsonTranscoding;

namespace Reliability.Service.Endpoints;

/// <summary>Answers with a file in chunks of whole lines: as messages on gRPC, as a download over HTTP.</summary>
internal static class FileAnswer
{
    /// <summary>Sends a file.</summary>
    /// <param name="chunks">The file; every chunk ends with a line feed.</param>
    /// <param name="name">What a download is called.</param>
    /// <param name="responseStream">Takes the chunks.</param>
    /// <param name="context">The call.</param>
    public static async Task SendAsync(
        IAsyncEnumerable<HttpBody> chunks, string name, IServerStreamWriter<HttpBody> responseStream, ServerCallContext context)
    {
        var http = context.GetHttpContext();
        var overHttp = http.GetEndpoint()?.Metadata.GetMetadata<GrpcJsonTranscodingMetadata>() is not null;
        try
        {
            await foreach (var chunk in chunks)
            {
                if (overHttp)
                {
                    if (!http.Response.HasStarted)
                        http.Response.Headers.ContentDisposition = $"attachment; filename=\"{name}\"";
                    // The transcoder ends each message of a stream with a line feed: that of the last line.
                    chunk.Data = ByteString.CopyFrom(chunk.Data.Span[..^1]);
                }

                await responseStream.WriteAsync(chunk, context.CancellationToken);
            }
        }
        catch when (overHttp && http.Response.HasStarted)
        {
            // A refusal would be appended as a line: broken off, nobody takes the file for whole.
            http.Abort();
            throw;
        }
    }
}
