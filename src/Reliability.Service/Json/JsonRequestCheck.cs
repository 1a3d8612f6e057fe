using System.Text.Json;
using System.Text.RegularExpressions;
using Google.Api;
using Google.Protobuf.Reflection;
using Microsoft.AspNetCore.Grpc.JsonTranscoding;
using Microsoft.AspNetCore.Http.Extensions;
using Microsoft.Net.Http.Headers;
using Reliability.Files.Json;
using Reliability.Service.Errors;
using Reliability.Service.Hosting;
using RpcStatus = Google.Rpc.Status;

namespace Reliability.Service.Json;

/// <summary>
/// Stands before the transcoder: reads the whole request within the limit, holds body and query to the message types,
/// and answers with all violations at once.
/// </summary>
internal sealed partial class JsonRequestCheck(RequestDelegate next)
{
    private const string Body = "(body)";

    public async Task InvokeAsync(HttpContext context)
    {
        if (context.GetEndpoint()?.Metadata.GetMetadata<GrpcJsonTranscodingMetadata>() is not { } route)
        {
            await next(context);
            return;
        }

        var violations = new Violations();
        var refusal = HasBody(route) ? await CheckBodyAsync(context, route, violations) : null;
        if (refusal is null)
        {
            CheckQuery(context, route, violations);
            if (!violations.IsEmpty)
                refusal = violations.ToStatus();
        }

        if (refusal is not null)
            await StatusJson.WriteAsync(context, refusal);
        else
            await next(context);
    }

    private static bool HasBody(GrpcJsonTranscodingMetadata route) => route.HttpRule.Body.Length > 0;

    private static async Task<RpcStatus?> CheckBodyAsync(
        HttpContext context, GrpcJsonTranscodingMetadata route, Violations violations)
    {
        if (!IsJson(context.Request.ContentType))
            return Malformed("must be sent as application/json in UTF-8");
        if (await ReadAsync(context) is not { } bytes)
        {
            violations.AddLimit(Body, $"must not be larger than {Limits.MaxMessageBytes / (1024 * 1024)} MiB");
            return violations.ToStatus();
        }

        try
        {
            using var document = JsonDocument.Parse(bytes.AsMemory());
            var bodyField = route.HttpRule.Body == "*"
                ? null : route.MethodDescriptor.InputType.FindFieldByName(route.HttpRule.Body);
            var walker = new JsonBodyWalker(violations.Add, new FieldPath(bodyField?.Name ?? string.Empty));
            walker.Message(document.RootElement, bodyField?.MessageType ?? route.MethodDescriptor.InputType);
            CheckAgainstPath(document.RootElement, context.Request.Path.Value!, route.HttpRule, violations);
        }
        catch (JsonException exception)
        {
            return Malformed($"is not valid JSON: line {exception.LineNumber + 1}, byte {exception.BytePositionInLine + 1}");
        }
        catch (InvalidOperationException)
        {
            // System.Text.Json reads strings late, and refuses what is not Unicode then.
            return Malformed("holds text that is not valid Unicode");
        }

        context.Request.Body = new MemoryStream(bytes, writable: false);
        context.Request.ContentLength = bytes.Length;
        return null;
    }

    /// <summary>The transcoder lets the path win over the body; a body that names something else is a mistake.</summary>
    private static void CheckAgainstPath(JsonElement body, string path, HttpRule rule, Violations violations)
    {
        var variable = PathVariable().Match(Pattern(rule));
        if (!variable.Success || body.ValueKind != JsonValueKind.Object)
            return;
        var field = variable.Groups["field"].Value;
        var inBody = rule.Body == "*" ? field : field[(rule.Body.Length + 1)..];
        if (body.TryGetProperty(inBody, out var value) && value.ValueKind == JsonValueKind.String
            && value.GetString() is { Length: > 0 } name && Pattern(rule).Replace(variable.Value, name, StringComparison.Ordinal) != path)
        {
            violations.Add(field, "must be empty or that of the path");
        }
    }

    private static RpcStatus Malformed(string rule)
    {
        var violations = new Violations();
        violations.Add(Body, rule);
        return violations.ToStatus(ErrorReasons.MalformedJson);
    }

    private static bool IsJson(string? contentType) =>
        MediaTypeHeaderValue.TryParse(contentType, out var type)
        && type.MediaType.Equals("application/json", StringComparison.OrdinalIgnoreCase)
        && (!type.Charset.HasValue || type.Charset.Equals("utf-8", StringComparison.OrdinalIgnoreCase));

    private static async Task<byte[]?> ReadAsync(HttpContext context)
    {
        if (context.Request.ContentLength > Limits.MaxMessageBytes)
            return null;
        using var buffer = new MemoryStream((int)(context.Request.ContentLength ?? 4096));
        var chunk = new byte[81920];
        int read;
        while ((read = await context.Request.Body.ReadAsync(chunk, context.RequestAborted)) > 0)
        {
            if (buffer.Length + read > Limits.MaxMessageBytes)
                return null;
            buffer.Write(chunk, 0, read);
        }

        return buffer.ToArray();
    }

    private static void CheckQuery(HttpContext context, GrpcJsonTranscodingMetadata route, Violations violations)
    {
        if (context.Request.Query.Count == 0)
            return;
        if (route.HttpRule.Body == "*")
        {
            foreach (var name in context.Request.Query.Keys)
                violations.Add(FieldPath.Printable(name), "must stand in the body, not in the query");
            return;
        }

        var taken = PathFields(route.HttpRule);
        if (route.HttpRule.Body.Length > 0)
            taken.Add(route.HttpRule.Body);
        var walker = new QueryWalker(violations);
        var rewritten = new QueryBuilder();
        foreach (var (name, values) in context.Request.Query)
        {
            var field = walker.Check(name, values, route.MethodDescriptor.InputType, taken);
            var isMask = field is { FieldType: FieldType.Message } && field.MessageType.Name == "FieldMask";
            foreach (var value in values)
                rewritten.Add(name, isMask ? SnakeCase(value!) : value!);
        }

        // The transcoder takes a field mask from the query as it stands, so it must be in proto names already.
        context.Request.QueryString = rewritten.ToQueryString();
    }

    private static HashSet<string> PathFields(HttpRule rule) =>
        [.. PathVariable().Matches(Pattern(rule)).Select(match => match.Groups["field"].Value)];

    private static string Pattern(HttpRule rule) => rule.PatternCase switch
    {
        HttpRule.PatternOneofCase.Get => rule.Get,
        HttpRule.PatternOneofCase.Post => rule.Post,
        HttpRule.PatternOneofCase.Patch => rule.Patch,
        HttpRule.PatternOneofCase.Put => rule.Put,
        HttpRule.PatternOneofCase.Delete => rule.Delete,
        _ => string.Empty,
    };

    private static string SnakeCase(string mask) =>
        UpperLetter().Replace(mask, match => "_" + match.Value.ToLowerInvariant());

    [GeneratedRegex(@"\{(?<field>[a-z0-9_.]+)(=[^}]*)?\}", RegexOptions.CultureInvariant)]
    private static partial Regex PathVariable();

    [GeneratedRegex("[A-Z]", RegexOptions.CultureInvariant)]
    private static partial Regex UpperLetter();
}
