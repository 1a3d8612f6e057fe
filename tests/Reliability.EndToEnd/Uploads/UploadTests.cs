using System.Globalization;
using System.Net;
using System.Text;
using Google.Protobuf;
using Grpc.Core;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;
using static Reliability.EndToEnd.Records.Posting;

namespace Reliability.EndToEnd.Uploads;

/// <summary>Files over HTTP and gRPC: what is right is recorded, what is not is kept with its reasons.</summary>
public sealed class UploadTests(SharedService shared)
{
    private const string Mapping = """
        {
          "delimiter": ";", "decimal_comma": true, "date_formats": ["dd.MM.yyyy HH:mm"],
          "constants": { "source": "upload-workorders", "zone": "Europe/London" },
          "tables": { "reasons": { "X1": "failed", "X3": "rated hours reached" } },
          "rows": [
            { "when": { "Type": ["NOTE"] }, "ignore": "a remark" },
            { "when": { "Type": ["SWAP"] }, "events": [
              { "event": "removed", "fields": {
                  "event_id": { "column": "No", "suffix": "-out" }, "module": { "column": "Out", "prefix": "serial:" },
                  "occur_time": "When", "removal_reason": { "column": "Why", "table": "reasons" }, "reading_hours": "Hours" } },
              { "event": "installed", "fields": {
                  "event_id": { "column": "No", "suffix": "-in" }, "module": { "column": "In", "prefix": "serial:" },
                  "occur_time": "When", "host_device": "Host" } } ] } ]
        }
        """;

    private const string WorkOrders =
        "No;Type;When;Out;In;Host;Why;Hours;Remark\n"
        + "1;SWAP;05.03.2024 09:30;UP-1;UP-2;cot 3;X3;1203,5;\n"
        + "2;NOTE;;;;;;;lamp dusted\n"
        + "3;SWAP;06.03.2024 09:30;UP-3;UP-4;cot 4;X9;12,5;seen by person-4711\n"
        + "4;SWAP;07.03.2024 09:30;UP-5;UP-6;cot 5;X1;-3;\n"
        + "5;SWAP;07.03.2999 09:30;UP-7;UP-8;cot 6;X1;3;\n";

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_form_with_a_mapping_is_recorded_told_of_and_can_be_sent_again()
    {
        var first = await FormAsync("", Mapping, "workorders.csv", WorkOrders);

        var upload = first.Upload;
        Assert.Equal((UploadState.Complete, "workorders.csv", 5L), (upload.State, upload.FileName, upload.RowCount));
        // Of row 4 the removal is refused, by the service's own check, and the install is not.
        Assert.Equal((5L, 0L, 2L), (upload.RecordedCount, upload.DuplicateCount, upload.RejectedRowCount));
        Assert.Equal("MODULE_NOT_REGISTERED 5", string.Join(", ", upload.UnresolvedEvents.Select(Text)));
        Assert.Equal("INVALID_FIELDS 1, UNREADABLE_ROW 1", string.Join(", ", upload.RejectedRows.Select(Text)));
        Assert.Equal(("a remark", 1L), (upload.IgnoredRows[0].Reason, upload.IgnoredRows[0].Count));
        Assert.Equal(new UnknownMappingCode { Column = "Why", Table = "reasons", Code = "X9", Count = 1 }, Assert.Single(upload.UnknownCodes));
        Assert.Equal("FUTURE_TIMES", Assert.Single(upload.Warnings).Code);
        Assert.Equal(
            ["4: Why (removal_reason): code \"X9\" is not in tables.reasons", "5: Hours (removed.reading_hours): must be a number of hours between 0 and 1,000,000,000; got -3"],
            first.RejectedRows.Select(row => $"{row.Line}: {row.Violations[0].Field}: {row.Violations[0].Rule}"));

        var again = (await FormAsync("", Mapping, "workorders.csv", WorkOrders)).Upload;
        Assert.Equal((0L, 5L, 2L), (again.RecordedCount, again.DuplicateCount, again.RejectedRowCount));
    }

    [Fact]
    public async Task Rejected_rows_are_kept_paged_and_go_with_their_upload_and_stand_in_no_log()
    {
        var upload = (await FormAsync("", Mapping.Replace("upload-workorders", "upload-kept", StringComparison.Ordinal), "kept.csv", WorkOrders)).Upload;

        var page = await shared.Clients.History.ListRejectedRowsAsync(new() { Parent = upload.Name, PageSize = 1 }, cancellationToken: Cancellation);
        Assert.Equal("3;SWAP;06.03.2024 09:30;UP-3;UP-4;cot 4;X9;12,5;seen by person-4711", Assert.Single(page.RejectedRows).Row);
        using var rest = await shared.Clients.Http.GetAsync(
            new Uri($"/v1/{upload.Name}/rejectedRows?pageToken={page.NextPageToken}", UriKind.Relative), Cancellation);
        var last = ListRejectedRowsResponse.Parser.ParseJson(await rest.Content.ReadAsStringAsync(Cancellation));
        Assert.Equal(("", 5L), (last.NextPageToken, Assert.Single(last.RejectedRows).Line));
        Assert.Equal(upload, await shared.Clients.History.GetUploadAsync(new() { Name = upload.Name }, cancellationToken: Cancellation));

        using var deleted = await shared.Clients.Http.DeleteAsync(new Uri($"/v1/{upload.Name}", UriKind.Relative), Cancellation);
        Assert.Equal(HttpStatusCode.OK, deleted.StatusCode);
        var gone = await Assert.ThrowsAsync<RpcException>(async () =>
            await shared.Clients.History.ListRejectedRowsAsync(new() { Parent = upload.Name }, cancellationToken: Cancellation));
        Assert.Equal(StatusCode.NotFound, gone.StatusCode);
        Assert.DoesNotContain(shared.Service.Log, line => line.Contains("person-4711", StringComparison.Ordinal) || line.Contains("UP-3", StringComparison.Ordinal));
    }

    [Fact]
    public async Task A_check_takes_the_rows_of_the_file_as_arrived_for_each_other_and_records_nothing()
    {
        await ModelAsync(shared.Clients, "upload-check-lamp", 2_000);
        // The registration comes last, several posts after the readings that rest on it; one id comes twice.
        var lines = new StringBuilder("event_id,event,module,occur_time,module_model,reading_hours\n");
        for (var i = 0; i < 1_500; i++)
            lines.Append(CultureInfo.InvariantCulture, $"r{i},run_hours_read,upload-check,2024-01-05T{i / 60 % 24:00}:{i % 60:00}Z,,{i}\n");
        lines.Append("r7,run_hours_read,upload-check,2024-01-05T00:07Z,,7\n");
        lines.Append("r8,run_hours_read,upload-check,2024-01-05T00:08Z,,8888\n");
        lines.Append("x1,run_hours_read,upload-other,2024-01-05,,7\n");
        lines.Append("reg,registered,upload-check,2024-01-01,upload-check-lamp,\n");

        var check = (await BodyAsync("?validate_only=true&source=upload-check", "text/csv", lines.ToString())).Upload;

        Assert.True(check.ValidateOnly);
        Assert.Equal((1_502L, 1L, 1L), (check.RecordedCount, check.DuplicateCount, check.RejectedRowCount));
        Assert.Equal("EVENT_ID_REUSED 1", string.Join(", ", check.RejectedRows.Select(Text)));
        Assert.Equal("MODULE_NOT_REGISTERED 1", string.Join(", ", check.UnresolvedEvents.Select(Text)));
        var nothing = await Assert.ThrowsAsync<RpcException>(async () =>
            await shared.Clients.History.GetModuleAsync(new() { Name = "modules/upload-check" }, cancellationToken: Cancellation));
        Assert.Equal(StatusCode.NotFound, nothing.StatusCode);

        // What was foretold comes true.
        var done = (await BodyAsync("?source=upload-check", "text/csv", lines.ToString())).Upload;
        Assert.Equal((check.RecordedCount, check.DuplicateCount, check.RejectedRowCount), (done.RecordedCount, done.DuplicateCount, done.RejectedRowCount));
        var module = await shared.Clients.History.GetModuleAsync(
            new() { Name = "modules/upload-check", MinimumRevision = done.Revision }, cancellationToken: Cancellation);
        Assert.Equal("moduleModels/upload-check-lamp", module.ModuleModel);
    }

    [Fact]
    public async Task Lines_of_json_come_as_body_or_as_messages()
    {
        const string Line = """{"eventId": "j1", "source": "upload-json", "module": "modules/upload-json", "occurTime": "2024-01-05T08:00:00Z", "runHoursRead": {"readings": [{"hours": 7}]}}""";
        var body = await BodyAsync("", "application/x-ndjson", Line + "\nnot json\n");
        Assert.Equal((1L, 1L), (body.Upload.RecordedCount, body.Upload.RejectedRowCount));
        Assert.Equal("is not valid JSON: byte 2 of the line", body.RejectedRows[0].Violations[0].Rule);

        using var call = shared.Clients.History.UploadEvents(cancellationToken: Cancellation);
        await call.RequestStream.WriteAsync(new() { Header = new() { FileName = "events.jsonl" } }, Cancellation);
        foreach (var half in new[] { Line[..40], Line[40..] })
            await call.RequestStream.WriteAsync(new() { Content = ByteString.CopyFromUtf8(half) }, Cancellation);
        await call.RequestStream.CompleteAsync();
        var messages = await call;
        Assert.Equal((0L, 1L, 0L), (messages.Upload.RecordedCount, messages.Upload.DuplicateCount, messages.Upload.RejectedRowCount));
        Assert.Equal(body.Upload.Revision, messages.Upload.Revision);
    }

    [Theory]
    [InlineData("?colour=red", null, WorkOrders, "colour")]
    [InlineData("?validate_only=1", null, WorkOrders, "validate_only")]
    [InlineData("?zone=Europe/Velsham", null, WorkOrders, "zone")]
    [InlineData("?format=xlsx", null, WorkOrders, "format")]
    [InlineData("", null, WorkOrders, "file")]
    [InlineData("", null, "", "file")]
    [InlineData("", """{"rows": [{"ignore": "x", "colour": 1}]}""", WorkOrders, "mapping.rows[0].colour")]
    [InlineData("", """{"delimiter": ";", "rows": [{"when": {"Typ": ["A"]}, "ignore": "x"}]}""", WorkOrders, "mapping.rows[0].when.Typ")]
    public async Task What_cannot_be_read_is_refused_as_a_whole_with_its_place(string query, string? mapping, string file, string field)
    {
        using var answer = await PostFormAsync(query, mapping, "refused.csv", file);
        var status = await StatusDetails.OfAsync(answer);
        Assert.Equal(HttpStatusCode.BadRequest, answer.StatusCode);
        Assert.Contains(field, StatusDetails.Fields(status));
    }

    [Fact]
    public async Task Bodies_that_are_no_file_are_refused_in_our_own_form()
    {
        foreach (var (type, body) in new[] { ("application/json", "{}"), ("multipart/form-data", "x"), ("multipart/form-data; boundary=b", "no boundary"), ("multipart/form-data; boundary=b", "--b--\r\n") })
        {
            using var content = new ByteArrayContent(Encoding.UTF8.GetBytes(body));
            content.Headers.TryAddWithoutValidation("content-type", type);
            using var answer = await shared.Clients.Http.PostAsync(new Uri("/v1/events:upload", UriKind.Relative), content, Cancellation);
            Assert.Equal(HttpStatusCode.BadRequest, answer.StatusCode);
            Assert.NotEmpty(StatusDetails.Fields(await StatusDetails.OfAsync(answer)));
        }
    }

    private static string Text(ReasonCount count) => $"{count.Reason} {count.Count}";

    private async Task<UploadEventsResponse> FormAsync(string query, string? mapping, string name, string file)
    {
        using var answer = await PostFormAsync(query, mapping, name, file);
        return await AnswerAsync(answer);
    }

    private async Task<HttpResponseMessage> PostFormAsync(string query, string? mapping, string name, string file)
    {
        using var form = new MultipartFormDataContent();
        if (mapping is not null)
            form.Add(new StringContent(mapping), "mapping");
        form.Add(new ByteArrayContent(Encoding.UTF8.GetBytes(file)), "file", name);
        return await shared.Clients.Http.PostAsync(new Uri("/v1/events:upload" + query, UriKind.Relative), form, Cancellation);
    }

    private async Task<UploadEventsResponse> BodyAsync(string query, string type, string body)
    {
        using var content = new StringContent(body, Encoding.UTF8, type);
        using var answer = await shared.Clients.Http.PostAsync(new Uri("/v1/events:upload" + query, UriKind.Relative), content, Cancellation);
        return await AnswerAsync(answer);
    }

    private static async Task<UploadEventsResponse> AnswerAsync(HttpResponseMessage answer)
    {
        var text = await answer.Content.ReadAsStringAsync(Cancellation);
        Assert.True(answer.IsSuccessStatusCode, text);
        return UploadEventsResponse.Parser.ParseJson(text);
    }
}
