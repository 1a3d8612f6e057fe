using System.Net;
using System.Net.Http.Json;
using System.Text.Json;
using System.Text.RegularExpressions;
using Google.Api;
using Google.Protobuf.Reflection;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.Surface;

/// <summary>One OpenAPI document holds every route of the protos.</summary>
public sealed partial class OpenApiTests(SharedService shared)
{
    private static readonly ServiceDescriptor[] Services =
        [ModuleCatalogService.Descriptor, ModuleHistoryService.Descriptor, LifeAnalysisService.Descriptor, LifeForecastService.Descriptor];

    [Fact]
    public async Task Every_route_of_the_protos_stands_in_the_document()
    {
        var document = await DocumentAsync();
        var paths = document.GetProperty("paths");
        var expected = Services.SelectMany(service => service.Methods).Where(method => !IsGrpcOnly(method)).Select(Route).ToList();

        Assert.Equal(29, expected.Count);
        foreach (var (verb, path) in expected)
        {
            Assert.True(paths.TryGetProperty(path, out var operations), $"{path} is missing.");
            Assert.True(operations.TryGetProperty(verb, out var operation), $"{verb} {path} is missing.");
            var answers = operation.GetProperty("responses");
            Assert.True(answers.TryGetProperty("200", out _), $"{verb} {path} has no answer.");
            Assert.True(answers.TryGetProperty("default", out _), $"{verb} {path} does not tell of refusals.");
        }

        // Files come by a plain route beside them.
        Assert.True(paths.GetProperty("/v1/events:upload").TryGetProperty("post", out _));
        Assert.Equal(expected.Count + 1, paths.EnumerateObject().Sum(path => path.Value.EnumerateObject().Count()));
    }

    [Fact]
    public async Task Whole_numbers_of_64_bits_are_strings_and_path_variables_are_named()
    {
        var document = await DocumentAsync();

        var count = document.GetProperty("components").GetProperty("schemas").EnumerateObject()
            .Single(schema => schema.Name.EndsWith("SampleSummary", StringComparison.Ordinal))
            .Value.GetProperty("properties").GetProperty("lifeCount");
        Assert.Equal("string", count.GetProperty("type").GetString());
        var parameters = document.GetProperty("paths").GetProperty("/v1/modules/{module}").GetProperty("get").GetProperty("parameters");
        Assert.Contains(parameters.EnumerateArray(), parameter =>
            parameter.GetProperty("name").GetString() == "module" && parameter.GetProperty("in").GetString() == "path");
    }

    [Fact]
    public async Task Every_get_route_of_the_document_is_there()
    {
        var document = await DocumentAsync();
        var routes = document.GetProperty("paths").EnumerateObject()
            .Where(path => path.Value.TryGetProperty("get", out _)).Select(path => Variable().Replace(path.Name, "none")).ToList();

        Assert.Equal(15, routes.Count);
        foreach (var route in routes)
        {
            // A watch never ends: its headers are the answer.
            using var answer = await shared.Clients.Http.GetAsync(
                new Uri(route, UriKind.Relative), HttpCompletionOption.ResponseHeadersRead, TestContext.Current.CancellationToken);
            Assert.NotEqual(HttpStatusCode.MethodNotAllowed, answer.StatusCode);
            if (answer.StatusCode == HttpStatusCode.NotFound)
                Assert.Equal("RESOURCE_NOT_FOUND", StatusDetails.Reason(await StatusDetails.OfAsync(answer)));
        }
    }

    private async Task<JsonElement> DocumentAsync() => await shared.Clients.Http.GetFromJsonAsync<JsonElement>(
        new Uri("/openapi/v1.json", UriKind.Relative), TestContext.Current.CancellationToken);

    // A stream from the caller has no form in HTTP/JSON.
    private static bool IsGrpcOnly(MethodDescriptor method) => method.IsClientStreaming;

    private static (string Verb, string Path) Route(MethodDescriptor method)
    {
        var rule = method.GetOptions().GetExtension(AnnotationsExtensions.Http);
        var (verb, pattern) = rule.PatternCase switch
        {
            HttpRule.PatternOneofCase.Get => ("get", rule.Get),
            HttpRule.PatternOneofCase.Post => ("post", rule.Post),
            HttpRule.PatternOneofCase.Patch => ("patch", rule.Patch),
            HttpRule.PatternOneofCase.Delete => ("delete", rule.Delete),
            _ => throw new ArgumentException($"{method.FullName} has no route this test knows.", nameof(method)),
        };
        return (verb, Binding().Replace(pattern, binding => Collection(binding.Groups[1].Value)));
    }

    private static string Collection(string plural) =>
        $"{plural}/{{{(plural == "aliases" ? "alias" : plural[..^1])}}}";

    [GeneratedRegex(@"\{[a-z_.]+=([A-Za-z]+)/\*\}")]
    private static partial Regex Binding();

    [GeneratedRegex(@"\{[A-Za-z]+\}")]
    private static partial Regex Variable();
}
