using System.Text.Json;
using Google.Protobuf;
using Google.Protobuf.Reflection;
using Reliability.Files.Json;
using Reliability.Service.Errors;
using Reliability.V1;
using Xunit;

namespace Reliability.Service.Tests.Json;

/// <summary>A body is held to its message type before anything reads it.</summary>
public sealed class JsonBodyWalkerTests
{
    [Theory]
    [InlineData("{}")]
    [InlineData("""{"lifeModel": null, "sample": {"observations": [{"failureHours": "12.5", "count": 3}]}}""")]
    [InlineData("""{"life_model": "weibull", "confidenceLevel": 0.9, "seed": "9007199254740993"}""")]
    [InlineData("""{"fixedParameters": {"shape": 2}, "boundsMethod": 1, "includePlot": true}""")]
    [InlineData("""{"cohort": {"dataCutoffTime": "2024-02-29T23:59:59.999999999+02:00", "refurbishmentCounts": [1, "2"]}}""")]
    [InlineData("""{"remainingLifeQueries": [{"ageHours": 1e3, "horizonHours": [0, -0.0, 5E-3]}]}""")]
    public void What_the_parser_takes_passes(string json)
    {
        Assert.Empty(Walk(json, FitLivesRequest.Descriptor));
        // The walker is no stricter than protobuf's own parser on what is well formed.
        Assert.NotNull(JsonParser.Default.Parse(json, FitLivesRequest.Descriptor));
    }

    [Theory]
    [InlineData("""{"a": 1}""", "a")]
    [InlineData("""{"sample": {"observations": [{}, {"x": 1}]}}""", "sample.observations[1].x")]
    [InlineData("""{"sample": 5}""", "sample")]
    [InlineData("""{"failureFractions": [0.1, "a"]}""", "failure_fractions[1]")]
    [InlineData("""{"failureFractions": [null]}""", "failure_fractions[0]")]
    [InlineData("""{"confidenceLevel": "Infinity"}""", "confidence_level")]
    [InlineData("""{"confidenceLevel": " 1"}""", "confidence_level")]
    [InlineData("""{"confidenceLevel": "0x1"}""", "confidence_level")]
    [InlineData("""{"seed": 1e3}""", "seed")]
    [InlineData("""{"seed": 9223372036854775808}""", "seed")]
    [InlineData("""{"lifeModel": 1}""", "life_model")]
    [InlineData("""{"includePlot": "true"}""", "include_plot")]
    [InlineData("""{"termination": "TERMINATION_SOON"}""", "termination")]
    [InlineData("""{"termination": 1.5}""", "termination")]
    [InlineData("""{"fixedParameters": [1]}""", "fixed_parameters")]
    [InlineData("""{"fixedParameters": {"a": "b"}}""", "fixed_parameters[a]")]
    [InlineData("""{"cohort": {"dataCutoffTime": "2024-01-01 00:00:00Z"}}""", "cohort.data_cutoff_time")]
    [InlineData("""{"cohort": {"dataCutoffTime": "0000-01-01T00:00:00Z"}}""", "cohort.data_cutoff_time")]
    [InlineData("""{"cohort": {}, "sample": {}}""", "sample")]
    public void What_is_wrong_is_told_with_its_path(string json, string path) =>
        Assert.Equal([path], Walk(json, FitLivesRequest.Descriptor));

    [Fact]
    public void However_much_is_wrong_the_answer_stays_small()
    {
        var violations = new Violations();
        var json = "{\"sample\": {\"observations\": [" + string.Join(',', Enumerable.Repeat("7", 5_000)) + "]}}";
        using var document = JsonDocument.Parse(json);

        new JsonBodyWalker(violations.Add, new FieldPath()).Message(document.RootElement, FitLivesRequest.Descriptor);

        Assert.Equal(5_000, violations.Count);
        Assert.True(violations.ToStatus().CalculateSize() < 20_000);
        Assert.Contains("and 4999 more", violations.ToStatus().Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Names_sent_back_are_short_and_printable()
    {
        var path = Assert.Single(Walk($$"""{"{{new string('x', 5000)}}\u0007": 1}""", FitLivesRequest.Descriptor));

        Assert.True(path.Length < 120);
        Assert.Equal("a?b", FieldPath.Printable("a\nb"));
    }

    private static List<string> Walk(string json, MessageDescriptor type)
    {
        var violations = new Violations();
        using var document = JsonDocument.Parse(json);
        new JsonBodyWalker(violations.Add, new FieldPath()).Message(document.RootElement, type);
        return violations.IsEmpty
            ? []
            : [.. violations.ToStatus().Details.Single(detail => detail.Is(Google.Rpc.BadRequest.Descriptor))
                .Unpack<Google.Rpc.BadRequest>().FieldViolations.Select(violation => violation.Field)];
    }
}
