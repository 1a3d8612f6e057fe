using System.Net;
using System.Text;
using Grpc.Core;
using Reliability.EndToEnd.Running;
using Xunit;

namespace Reliability.EndToEnd.Refusals;

/// <summary>What only JSON can get wrong: its text, names, numbers and times.</summary>
public sealed class JsonTextTests(SharedService shared)
{
    [Theory]
    [InlineData("""{"sample":""", "(body)", "MALFORMED_JSON")]
    [InlineData("", "(body)", "MALFORMED_JSON")]
    [InlineData("module,hours\nA-1,300\n", "(body)", "MALFORMED_JSON")]
    [InlineData("""{"lifeModel": "\ud800"}""", "(body)", "MALFORMED_JSON")]
    [InlineData("[]", "", "INVALID_FIELDS")]
    [InlineData("""{"sample": {"observations": [{"failureHours": 1e999}]}}""", "sample.observations[0].failure_hours", "INVALID_FIELDS")]
    [InlineData("""{"sample": {"observations": [{"failureHours": "NaN"}]}}""", "sample.observations[0].failure_hours", "INVALID_FIELDS")]
    [InlineData("""{"sample": {"observations": [{"failureHours": "-Infinity"}]}}""", "sample.observations[0].failure_hours", "INVALID_FIELDS")]
    [InlineData("""{"sample": {"observations": [{"failureHours": true}]}}""", "sample.observations[0].failure_hours", "INVALID_FIELDS")]
    [InlineData("""{"sample": {"observations": [{"failureHours": 1, "survivalHours": 2}]}}""", "sample.observations[0].survival_hours", "INVALID_FIELDS")]
    [InlineData("""{"sample": {"observations": [{"failureHours": 1, "count": 1.5}]}}""", "sample.observations[0].count", "INVALID_FIELDS")]
    [InlineData("""{"sample": {"observations": {}}}""", "sample.observations", "INVALID_FIELDS")]
    [InlineData("""{"sample": {"observations": [7]}}""", "sample.observations[0]", "INVALID_FIELDS")]
    [InlineData("""{"sample": {"rows": []}}""", "sample.rows", "INVALID_FIELDS")]
    [InlineData("""{"boundsMethod": "BOUNDS_METHOD_GUESS"}""", "bounds_method", "INVALID_FIELDS")]
    [InlineData("""{"boundsMethod": 77}""", "bounds_method", "INVALID_FIELDS")]
    [InlineData("""{"lifeModel": "weibull", "life_model": "lognormal"}""", "life_model", "INVALID_FIELDS")]
    [InlineData("""{"fixedParameters": {"shape": 2, "shape": 3}}""", "fixed_parameters[shape]", "INVALID_FIELDS")]
    [InlineData("""{"cohort": {"dataCutoffTime": "yesterday"}}""", "cohort.data_cutoff_time", "INVALID_FIELDS")]
    [InlineData("""{"cohort": {"dataCutoffTime": "2024-13-01T00:00:00Z"}}""", "cohort.data_cutoff_time", "INVALID_FIELDS")]
    [InlineData("""{"cohort": {"dataCutoffTime": 20240101}}""", "cohort.data_cutoff_time", "INVALID_FIELDS")]
    public async Task A_body_that_cannot_be_taken_is_refused_with_its_path(string body, string field, string reason)
    {
        using var response = await PostAsync("/v1/lives:fit", body);

        Assert.Equal(HttpStatusCode.BadRequest, response.StatusCode);
        var status = await StatusDetails.OfAsync(response);
        Assert.Equal((int)StatusCode.InvalidArgument, status.Code);
        Assert.Equal(reason, StatusDetails.Reason(status));
        Assert.Contains(field, StatusDetails.Fields(status));
    }

    [Fact]
    public async Task All_that_is_wrong_is_told_at_once()
    {
        using var response = await PostAsync(
            "/v1/lives:fit", """{"colour": 1, "lifeModel": 5, "sample": {"observations": [{"failureHours": "x"}]}}""");

        var status = await StatusDetails.OfAsync(response);
        Assert.Equal(["colour", "life_model", "sample.observations[0].failure_hours"], StatusDetails.Fields(status));
    }

    [Theory]
    [InlineData("/v1/modules?colour=blue", "colour")]
    [InlineData("/v1/modules?pageSize=many", "page_size")]
    [InlineData("/v1/modules?pageSize=-1", "page_size")]
    [InlineData("/v1/modules?pageSize=1&pageSize=2", "page_size")]
    [InlineData("/v1/modules?filter=state%20%3D%20BROKEN", "filter")]
    [InlineData("/v1/modules?pageToken=nonsense", "page_token")]
    [InlineData("/v1/modules/any?name=modules/other", "name")]
    [InlineData("/v1/lives?cohort.dataCutoffTime=yesterday", "cohort.data_cutoff_time")]
    [InlineData("/v1/lives?cohort.conditionClass=OLD", "cohort.condition_class")]
    [InlineData("/v1/lives?cohort.colour=blue", "cohort.colour")]
    [InlineData("/v1/lives?cohort=x", "cohort")]
    [InlineData("/v1/attributeValues", "attribute")]
    public async Task A_query_that_cannot_be_taken_is_refused_with_its_path(string route, string field)
    {
        using var response = await shared.Clients.Http.GetAsync(
            new Uri(route, UriKind.Relative), TestContext.Current.CancellationToken);

        Assert.Equal(HttpStatusCode.BadRequest, response.StatusCode);
        Assert.Contains(field, StatusDetails.Fields(await StatusDetails.OfAsync(response)));
    }

    [Fact]
    public async Task Query_parameters_beside_a_whole_body_are_refused()
    {
        using var response = await PostAsync("/v1/lives:fit?lifeModel=weibull", "{}");

        Assert.Equal(HttpStatusCode.BadRequest, response.StatusCode);
        Assert.Equal(["lifeModel"], StatusDetails.Fields(await StatusDetails.OfAsync(response)));
    }

    [Theory]
    [InlineData("modules/other", HttpStatusCode.BadRequest)]
    [InlineData("modules/never-seen", HttpStatusCode.NotFound)]
    public async Task A_body_may_repeat_the_name_of_the_path_and_no_other(string name, HttpStatusCode expected)
    {
        using var response = await PostAsync("/v1/modules/never-seen:predictFailure", $$"""{"name": "{{name}}"}""");

        Assert.Equal(expected, response.StatusCode);
        if (expected == HttpStatusCode.BadRequest)
            Assert.Equal(["name"], StatusDetails.Fields(await StatusDetails.OfAsync(response)));
    }

    [Fact]
    public async Task Another_content_type_is_refused()
    {
        using var content = new StringContent("""{"sample": {"observations": [{"failureHours": 100}, {"survivalHours": 300}]}}""", Encoding.UTF8, "text/plain");
        using var response = await shared.Clients.Http.PostAsync(
            new Uri("/v1/lives:fit", UriKind.Relative), content, TestContext.Current.CancellationToken);

        Assert.Equal(HttpStatusCode.BadRequest, response.StatusCode);
        Assert.Equal("MALFORMED_JSON", StatusDetails.Reason(await StatusDetails.OfAsync(response)));
    }

    [Theory]
    [InlineData("GET", "/v1/nothing", HttpStatusCode.NotFound, "ROUTE_NOT_FOUND")]
    [InlineData("DELETE", "/v1/modules", HttpStatusCode.MethodNotAllowed, "METHOD_NOT_ALLOWED")]
    [InlineData("GET", "/v1/lives:fit", HttpStatusCode.MethodNotAllowed, "METHOD_NOT_ALLOWED")]
    public async Task A_route_that_is_not_there_is_told_in_the_same_form(
        string verb, string route, HttpStatusCode expected, string reason)
    {
        using var request = new HttpRequestMessage(new HttpMethod(verb), new Uri(route, UriKind.Relative));
        using var response = await shared.Clients.Http.SendAsync(request, TestContext.Current.CancellationToken);

        Assert.Equal(expected, response.StatusCode);
        Assert.Equal(reason, StatusDetails.Reason(await StatusDetails.OfAsync(response)));
    }

    [Fact]
    public async Task A_name_of_another_site_is_not_answered()
    {
        using var request = new HttpRequestMessage(HttpMethod.Get, new Uri("/v1/modules", UriKind.Relative));
        request.Headers.Host = "reliability.example";
        using var response = await shared.Clients.Http.SendAsync(request, TestContext.Current.CancellationToken);

        Assert.Equal(HttpStatusCode.BadRequest, response.StatusCode);
    }

    private async Task<HttpResponseMessage> PostAsync(string route, string body)
    {
        using var content = new StringContent(body, Encoding.UTF8, "application/json");
        return await shared.Clients.Http.PostAsync(
            new Uri(route, UriKind.Relative), content, TestContext.Current.CancellationToken);
    }
}
