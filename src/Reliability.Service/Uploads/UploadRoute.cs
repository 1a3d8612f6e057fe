using Google.Protobuf;
using Grpc.Core;
using Microsoft.AspNetCore.Http.Features;
using Microsoft.AspNetCore.WebUtilities;
using Microsoft.Extensions.Primitives;
using Microsoft.Net.Http.Headers;
using Reliability.Files;
using Reliability.Files.EventFiles;
using Reliability.Files.Json;
using Reliability.Service.Errors;
using Reliability.Service.Json;

namespace Reliability.Service.Uploads;

/// <summary>
/// <c>POST /v1/events:upload</c>: the file as the body, or in a form with its mapping before it. A plain route, since a form
/// is none of what the transcoder takes; what it does is UploadEvents. Options stand in the query, where none of them can
/// come too late for the file.
/// </summary>
internal static class UploadRoute
{
    public const string Path = "/v1/events:upload";

    private const string Body = "(body)", FilePart = "file", MappingPart = "mapping";

    // What a form has beside the file: heads of its parts, and a mapping, which is held to its own limit.
    private const int MaxPartHead = 16 * 1024;

    private static readonly JsonFormatter Formatter = new(JsonFormatter.Settings.Default.WithFormatDefaultValues(true));

    public static void MapUploads(this WebApplication app) => app.MapPost(Path, AnswerAsync).ExcludeFromDescription();

    private static async Task AnswerAsync(HttpContext context, Uploading uploading, Failures failures)
    {
        try
        {
            var response = await RunAsync(context, uploading);
            context.Response.ContentType = "application/json; charset=utf-8";
            await context.Response.WriteAsync(Formatter.Format(response), context.RequestAborted);
        }
        catch (RpcException refusal) when (refusal.GetRpcStatus() is { } status)
        {
            await StatusJson.WriteAsync(context, status);
        }
        catch (Exception exception) when (exception is IOException or InvalidDataException && !context.RequestAborted.IsCancellationRequested)
        {
            // A form without its boundaries, a body that ended too soon.
            await StatusJson.WriteAsync(context, Malformed("is not a whole form, or ended before its end").GetRpcStatus()!);
        }
        catch (Exception exception) when (exception is not RpcException)
        {
            await StatusJson.WriteAsync(
                context, failures.ToStatus(exception, Path, DateTime.MaxValue, context.RequestAborted));
        }
    }

    private static async Task<V1.UploadEventsResponse> RunAsync(HttpContext context, Uploading uploading)
    {
        var header = Header(context.Request.Query);
        var sizes = context.Features.Get<IHttpMaxRequestBodySizeFeature>();
        if (sizes is { IsReadOnly: false })
            sizes.MaxRequestBodySize = null; // The file's own limit holds, and is told in our own form.
        if (!MediaTypeHeaderValue.TryParse(context.Request.ContentType, out var type))
            throw Malformed("must say what it is: multipart/form-data, text/csv or application/x-ndjson");
        switch (type.MediaType.Value?.ToUpperInvariant())
        {
            case "MULTIPART/FORM-DATA":
                return await FormAsync(context, uploading, header, HeaderUtilities.RemoveQuotes(type.Boundary));
            case "TEXT/CSV":
                break;
            case "APPLICATION/X-NDJSON" or "APPLICATION/JSONL":
                if (header.Form == V1.EventFileForm.Unspecified)
                    header.Form = V1.EventFileForm.JsonLines;
                break;
            default:
                throw Malformed("must be multipart/form-data, text/csv or application/x-ndjson");
        }

        return await uploading.RunAsync(header, context.Request.Body, context, context.RequestAborted);
    }

    private static async Task<V1.UploadEventsResponse> FormAsync(
        HttpContext context, Uploading uploading, V1.EventFileHeader header, StringSegment boundary)
    {
        if (boundary.Length == 0)
            throw Malformed("is a form without a boundary");
        var form = new MultipartReader(boundary.Value!, context.Request.Body) { HeadersLengthLimit = MaxPartHead };
        while (await form.ReadNextSectionAsync(context.RequestAborted) is { } part)
        {
            if (!ContentDispositionHeaderValue.TryParse(part.ContentDisposition, out var disposition))
                throw Malformed("has a part without a name");
            switch (HeaderUtilities.RemoveQuotes(disposition.Name).Value)
            {
                case MappingPart:
                    header.Mapping = await MappingAsync(part.Body, context.RequestAborted);
                    break;
                case FilePart:
                    if (header.FileName.Length == 0)
                        header.FileName = HeaderUtilities.RemoveQuotes(disposition.FileName).Value ?? string.Empty;
                    return await uploading.RunAsync(header, part.Body, context, context.RequestAborted);
                case var other:
                    throw Refusals.InvalidField(
                        FieldPath.Printable(other ?? string.Empty), "is no part of the form: it has mapping, where one is needed, and then file; options stand in the query");
            }
        }

        throw Refusals.InvalidField(FilePart, "must be a part of the form");
    }

    private static async Task<string> MappingAsync(Stream part, CancellationToken cancellation)
    {
        // One byte more than is allowed, so that the reader of mappings sees that it is too long.
        var bytes = new byte[FileLimits.MaxMappingBytes + 1];
        var read = await part.ReadAtLeastAsync(bytes, bytes.Length, throwOnEndOfStream: false, cancellation);
        return System.Text.Encoding.UTF8.GetString(bytes, 0, read);
    }

    private static V1.EventFileHeader Header(IQueryCollection query)
    {
        var header = new V1.EventFileHeader();
        var violations = new Violations();
        foreach (var (name, values) in query)
        {
            var value = values.ToString();
            if (values.Count > 1)
                violations.Add(FieldPath.Printable(name), "is given twice");
            switch (name)
            {
                case "file_name" or "fileName": header.FileName = value; break;
                case "source": header.Source = value; break;
                case "zone": header.Zone = value; break;
                case "complete_from" or "completeFrom": header.CompleteFrom = value; break;
                case "format": header.Form = Form(value, violations); break;
                case "validate_only" or "validateOnly":
                    if (value is not ("true" or "false"))
                        violations.Add("validate_only", "must be true or false");
                    header.ValidateOnly = value == "true";
                    break;
                default:
                    violations.Add(
                        FieldPath.Printable(name),
                        "is no option of an upload: file_name, format, source, zone, complete_from, validate_only");
                    break;
            }
        }

        violations.ThrowIfAny();
        return header;
    }

    private static V1.EventFileForm Form(string value, Violations violations)
    {
        switch (value)
        {
            case FileForm.JsonLines: return V1.EventFileForm.JsonLines;
            case FileForm.EventSheet: return V1.EventFileForm.EventSheet;
            case FileForm.LifeSheet: return V1.EventFileForm.LifeSheet;
            default:
                violations.Add("format", "must be one of " + string.Join(", ", FileForm.All));
                return default;
        }
    }

    private static RpcException Malformed(string rule)
    {
        var violations = new Violations();
        violations.Add(Body, rule);
        return violations.ToStatus(ErrorReasons.FileUnusable).ToRpcException();
    }
}
