using System.Net.Http.Json;
using System.Text.Json;
using Reliability.EndToEnd.Running;
using Xunit;

namespace Reliability.EndToEnd.Answers;

/// <summary>NIST/SEMATECH e-Handbook of Statistical Methods, 8.4.1.3: twenty units, asked over HTTP as JSON.</summary>
public sealed class NistJsonTests(SharedService shared)
{
    private const string Question = """
        {"sample": {"observations": [
          {"failureHours": 54}, {"failureHours": 187}, {"failureHours": 216}, {"failureHours": 240}, {"failureHours": 244},
          {"failureHours": 335}, {"failureHours": 361}, {"failureHours": 373}, {"failureHours": 375}, {"failureHours": 386},
          {"survivalHours": 500, "count": "10"}]},
         "reliabilityHours": [100]}
        """;

    [Fact]
    public async Task The_handbook_values_come_back_as_printed()
    {
        using var content = new StringContent(Question, System.Text.Encoding.UTF8, "application/json");
        using var response = await shared.Clients.Http.PostAsync(
            new Uri("/v1/lives:fit", UriKind.Relative), content, TestContext.Current.CancellationToken);

        Assert.Equal(System.Net.HttpStatusCode.OK, response.StatusCode);
        var answer = await response.Content.ReadFromJsonAsync<JsonElement>(TestContext.Current.CancellationToken);
        var fit = answer.GetProperty("fit");
        Assert.Equal("weibull", fit.GetProperty("lifeModel").GetString());
        Assert.Equal(1.7208, Math.Round(Value(fit.GetProperty("parameters").GetProperty("shape")), 4));
        Assert.Equal(606.53, Math.Round(Value(fit.GetProperty("parameters").GetProperty("scale")), 2));
        Assert.Equal(540.737, Math.Round(Value(fit.GetProperty("meanLife")), 3));
        Assert.Equal(-75.135, Math.Round(fit.GetProperty("logLikelihood").GetDouble(), 3));

        // Defaults are echoed; whole numbers of 64 bits are strings.
        Assert.Equal(0.95, fit.GetProperty("confidenceLevel").GetDouble());
        Assert.Equal("BOUNDS_METHOD_CALIBRATED", fit.GetProperty("boundsMethod").GetString());
        Assert.Equal(
            [0.01, 0.05, 0.1, 0.5, 0.9],
            fit.GetProperty("percentileLives").EnumerateArray().Select(life => life.GetProperty("failureFraction").GetDouble()));
        Assert.Equal("20", answer.GetProperty("sampleSummary").GetProperty("lifeCount").GetString());
    }

    private static double Value(JsonElement estimate) => estimate.GetProperty("value").GetDouble();
}
