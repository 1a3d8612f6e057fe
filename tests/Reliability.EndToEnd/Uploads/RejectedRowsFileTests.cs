using System.Text;
using Grpc.Core;
using Reliability.EndToEnd.CommandLine;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.Uploads;

/// <summary>Rejected rows as a file: the very bytes of the command line's file of refusals, and once put right a file to upload.</summary>
public sealed class RejectedRowsFileTests(SharedService shared) : IDisposable
{
    private const string Lives =
        "module_model,serial_number,site,start_date,end_date,age_at_end,outcome,in_service\n"
        + "rejected-lamp,RJ-1,Quennick General,2024-01-05,2024-06-20,900,survived,yes\n"
        + "rejected-lamp,RJ-2,\"Velsham, Children's\",2024-01-05,2024-06-20,many,survived,yes\n"
        + "rejected-lamp,RJ-3,,2024-01-05,2024-06-20,-40,survived,yes\n"
        + "rejected-lamp,RJ-4,\"left open,2024-01-05,2024-06-20,700,survived,yes\n";

    private const string Mapping = """
        {"delimiter": ";", "encoding": "iso-8859-1", "constants": {"source": "rejected-mapped"},
         "rows": [{"when": {"Typ": ["READ"]}, "events": [{"event": "run_hours_read", "fields": {
           "event_id": "No", "module": "Gerät", "occur_time": "Tag", "reading_hours": "Stunden"}}]}]}
        """;

    private const string Mapped = "No;Typ;Gerät;Tag;Stunden\n1;READ;rejected-mapped;2024-02-01;5\n2;READ;rejected-mapped;2024-02-02;fünf\n3;SEEN;é;2024-02-03;\n";

    private const string Events =
        """{"eventId": "1", "source": "rejected-json", "module": "modules/rejected-json", "occurTime": "2024-01-05T08:00:00Z", "runHoursRead": {"readings": [{"hours": -7}]}}""" + "\nnot json\n";

    private readonly string _folder = TemporaryFolder.Create();

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Theory]
    [InlineData("lives.csv", Lives, null, "?source=rejected-lives", "text/csv", "rejected.csv")]
    [InlineData("mapped.csv", Mapped, Mapping, "", "text/csv", "rejected.csv")]
    [InlineData("events.jsonl", Events, null, "", "application/x-ndjson", "rejected.jsonl")]
    public async Task It_is_what_the_command_line_writes(string name, string text, string? mapping, string query, string type, string download)
    {
        var bytes = (mapping is null ? Encoding.UTF8 : Encoding.Latin1).GetBytes(text);
        var path = Path.Combine(_folder, name);
        await File.WriteAllBytesAsync(path, bytes, Cancellation);
        var mappingPath = Path.Combine(_folder, "mapping.json");
        if (mapping is not null)
            await File.WriteAllTextAsync(mappingPath, mapping, Cancellation);
        string[] options = [.. mapping is null ? Array.Empty<string>() : ["--mapping", mappingPath], .. query.Length > 0 ? ["--source", query[8..]] : Array.Empty<string>()];
        var posted = await CommandLineProcess.RunAsync(shared.Service.GrpcAddress, ["post", path, .. options]);
        Assert.Equal((1, ""), (posted.ExitCode, posted.Error));
        var expected = await File.ReadAllBytesAsync(Directory.GetFiles(_folder, "*.refused.*").Single(), Cancellation);

        using var form = new MultipartFormDataContent();
        if (mapping is not null)
            form.Add(new StringContent(mapping), "mapping");
        form.Add(new ByteArrayContent(bytes), "file", name);
        using var answer = await shared.Clients.Http.PostAsync(new Uri("/v1/events:upload" + query, UriKind.Relative), form, Cancellation);
        var upload = UploadEventsResponse.Parser.ParseJson(await answer.Content.ReadAsStringAsync(Cancellation)).Upload;
        Assert.True(upload.RejectedRowCount > 1);

        using var file = await shared.Clients.Http.GetAsync(new Uri($"/v1/{upload.Name}/rejectedRows:export", UriKind.Relative), Cancellation);
        Assert.Equal(expected, await file.Content.ReadAsByteArrayAsync(Cancellation));
        Assert.Equal(type, file.Content.Headers.ContentType?.MediaType);
        Assert.Equal(mapping is null ? "utf-8" : "iso-8859-1", file.Content.Headers.ContentType?.CharSet);
        Assert.Equal(download, file.Content.Headers.ContentDisposition?.FileName?.Trim('"'));
        using var call = shared.Clients.History.ExportRejectedRows(new() { Parent = upload.Name }, cancellationToken: Cancellation);
        Assert.Equal(expected, (await call.ResponseStream.ReadAllAsync(Cancellation).ToListAsync(Cancellation)).SelectMany(chunk => chunk.Data));
    }

    [Fact]
    public async Task Put_right_it_can_be_uploaded_and_pages_of_it_are_one_file()
    {
        // More rows than the service reads at a time.
        var sheet = new StringBuilder("event_id,event,module,occur_time,reading_hours\n");
        for (var i = 0; i < 1_100; i++)
            sheet.Append(SentFile.Row("rejected-many", i).Replace(",2024-", ",in 2024-", StringComparison.Ordinal));
        var upload = (await UploadAsync(sheet.ToString())).Upload;
        Assert.Equal((0L, 1_100L), (upload.RecordedCount, upload.RejectedRowCount));

        var file = await shared.Clients.Http.GetStringAsync(new Uri($"/v1/{upload.Name}/rejectedRows:export", UriKind.Relative), Cancellation);
        Assert.Equal(1_102, file.Split('\n').Length);
        var again = (await UploadAsync(file.Replace(",in 2024-", ",2024-", StringComparison.Ordinal))).Upload;
        Assert.Equal((1_100L, 0L), (again.RecordedCount, again.RejectedRowCount));

        // With nothing rejected there is a header and no more.
        Assert.Equal(
            "refused_line,refused_reason,event_id,event,module,occur_time,reading_hours\n",
            await shared.Clients.Http.GetStringAsync(new Uri($"/v1/{again.Name}/rejectedRows:export", UriKind.Relative), Cancellation));
    }

    [Fact]
    public async Task Of_an_upload_that_there_is_not_none_is_given()
    {
        using var none = await shared.Clients.Http.GetAsync(
            new Uri($"/v1/uploads/{Guid.Empty:N}/rejectedRows:export", UriKind.Relative), Cancellation);
        Assert.Equal("RESOURCE_NOT_FOUND", StatusDetails.Reason(await StatusDetails.OfAsync(none)));
        using var wrong = await shared.Clients.Http.GetAsync(new Uri("/v1/uploads/x/rejectedRows:export", UriKind.Relative), Cancellation);
        Assert.Equal(["parent"], StatusDetails.Fields(await StatusDetails.OfAsync(wrong)));
    }

    private async Task<UploadEventsResponse> UploadAsync(string sheet)
    {
        using var content = new StringContent(sheet, Encoding.UTF8, "text/csv");
        using var answer = await shared.Clients.Http.PostAsync(new Uri("/v1/events:upload?source=rejected-many", UriKind.Relative), content, Cancellation);
        return UploadEventsResponse.Parser.ParseJson(await answer.Content.ReadAsStringAsync(Cancellation));
    }
}
