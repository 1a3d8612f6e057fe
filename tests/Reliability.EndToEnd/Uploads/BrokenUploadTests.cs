using System.Globalization;
using System.Net.Sockets;
using System.Text;
using Google.Rpc;
using Grpc.Core;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.Uploads;

/// <summary>Uploads that do not come to their end: what came whole is recorded, and the upload says how far it goes.</summary>
public sealed class BrokenUploadTests(SharedService shared)
{
    private const int Rows = 700;

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    private ServiceClients Clients => shared.Clients;

    [Fact]
    public async Task A_sender_on_gRPC_that_goes_away_leaves_what_it_sent_whole()
    {
        const string Name = "gone-grpc";
        using (var file = new SentFile(Clients, Name))
        {
            await file.BeginAsync();
            // The last row is cut in its number: 70 hours instead of 700.
            await file.SendAsync(SentFile.Sheet(Name, Rows) + SentFile.Row(Name, Rows)[..^2]);
            await file.RecordedAsync();
        }

        await IsIncompleteAndGoesOnAsync(Name);
    }

    [Fact]
    public async Task A_sender_on_HTTP_that_goes_away_leaves_what_it_sent_whole()
    {
        const string Name = "gone-http";
        using (var socket = new TcpClient())
        {
            await socket.ConnectAsync("127.0.0.1", shared.Service.HttpAddress.Port, Cancellation);
            var body = SentFile.Sheet(Name, Rows) + SentFile.Row(Name, Rows)[..^2];
            var head = string.Create(CultureInfo.InvariantCulture,
                $"POST /v1/events:upload?source={Name}&file_name={Name}.csv HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: text/csv\r\nContent-Length: {body.Length + 1000}\r\n\r\n");
            await socket.GetStream().WriteAsync(Encoding.UTF8.GetBytes(head + body), Cancellation);
            using var watched = new SentFile(Clients, Name);
            await watched.RecordedAsync();
        }

        await IsIncompleteAndGoesOnAsync(Name);
    }

    [Fact]
    public async Task An_upload_that_is_deleted_while_it_comes_stays_deleted()
    {
        const string Name = "deleted-meanwhile";
        using var file = new SentFile(Clients, Name);
        await file.BeginAsync();
        await file.SendAsync(SentFile.Sheet(Name, 600) + "wrong,exploded," + Name + ",2024-01-05,1\n");
        await file.RecordedAsync();
        var upload = await FindAsync(Name, _ => true);

        await Clients.History.DeleteUploadAsync(new() { Name = upload.Name }, cancellationToken: Cancellation);
        await file.SendAsync("late,exploded," + Name + ",2024-01-05,1\n");
        var answer = await file.CompleteAsync();

        // Its sender is told all the same; nothing is kept.
        Assert.Equal((UploadState.Complete, 600L, 2L), (answer.Upload.State, answer.Upload.RecordedCount, answer.Upload.RejectedRowCount));
        foreach (var ask in (Func<Task>[])
        [
            async () => await Clients.History.GetUploadAsync(new() { Name = upload.Name }, cancellationToken: Cancellation),
            async () => await Clients.History.ListRejectedRowsAsync(new() { Parent = upload.Name }, cancellationToken: Cancellation),
            async () => await Clients.History.DeleteUploadAsync(new() { Name = upload.Name }, cancellationToken: Cancellation),
        ])
        {
            var gone = await Assert.ThrowsAsync<RpcException>(ask);
            Assert.Equal(StatusCode.NotFound, gone.StatusCode);
            Assert.Equal("RESOURCE_NOT_FOUND", StatusDetails.Reason(StatusDetails.Of(gone)));
        }

        Assert.Null(await SearchAsync(Name, _ => true));
    }

    [Fact]
    public async Task A_file_that_cannot_be_read_on_names_the_upload_that_tells_how_far_it_came()
    {
        const string Name = "unreadable-on";
        using var file = new SentFile(Clients, Name);
        await file.BeginAsync();
        await file.SendAsync(SentFile.Sheet(Name, 620));
        await file.RecordedAsync();
        var wrong = await Assert.ThrowsAsync<RpcException>(async () =>
        {
            await file.BeginAsync();
            await file.CompleteAsync();
        });
        var status = StatusDetails.Of(wrong);
        Assert.Equal(["part"], StatusDetails.Fields(status));

        var upload = await Clients.History.GetUploadAsync(
            new() { Name = status.GetDetail<ResourceInfo>().ResourceName }, cancellationToken: Cancellation);
        Assert.Equal(UploadState.Incomplete, upload.State);
        // The parser may still hold the last row, since nothing told it that the file ends there.
        Assert.InRange(upload.RowCount, 619, 620);
        Assert.Equal((upload.RowCount, upload.RowCount + 1), (upload.RecordedCount, upload.SettledLine));
    }

    /// <summary>Every row that was read is recorded, the upload says so, and the whole file adds the rest.</summary>
    private async Task IsIncompleteAndGoesOnAsync(string name)
    {
        var upload = await FindAsync(name, found => found.SettledLine > 0);
        Assert.Equal(UploadState.Incomplete, upload.State);
        Assert.InRange(upload.RowCount, 500, Rows);
        Assert.Equal((upload.RowCount, 0L), (upload.RecordedCount, upload.RejectedRowCount));
        // The header is line 1.
        Assert.Equal(upload.RowCount + 1, upload.SettledLine);
        Assert.Equal(upload.RowCount, await CountAsync(name));

        using var content = new StringContent(SentFile.Sheet(name, Rows + 1), Encoding.UTF8, "text/csv");
        using var answer = await Clients.Http.PostAsync(new Uri($"/v1/events:upload?source={name}", UriKind.Relative), content, Cancellation);
        var again = UploadEventsResponse.Parser.ParseJson(await answer.Content.ReadAsStringAsync(Cancellation)).Upload;
        Assert.Equal(UploadState.Complete, again.State);
        Assert.Equal((Rows + 1 - upload.RowCount, upload.RowCount, 0L), (again.RecordedCount, again.DuplicateCount, again.RejectedRowCount));
        Assert.Equal(Rows + 2, again.SettledLine);
    }

    private async Task<long> CountAsync(string name)
    {
        var record = await Clients.History.ListModuleEventsAsync(
            new ListModuleEventsRequest { Parent = "modules/" + name, PageSize = 1000 }, cancellationToken: Cancellation);
        Assert.Empty(record.NextPageToken);
        return record.Events.Count;
    }

    private Task<Upload> FindAsync(string name, Func<Upload, bool> holds) => Eventually.GetAsync(() => SearchAsync(name, holds));

    /// <summary>The upload of a file, among all that are kept.</summary>
    private async Task<Upload?> SearchAsync(string name, Func<Upload, bool> holds)
    {
        var request = new ListUploadsRequest { PageSize = 3 };
        do
        {
            var page = await Clients.History.ListUploadsAsync(request, cancellationToken: Cancellation);
            if (page.Uploads.FirstOrDefault(upload => upload.FileName == name + ".csv" && holds(upload)) is { } found)
                return found;
            request.PageToken = page.NextPageToken;
        }
        while (request.PageToken.Length > 0);
        return null;
    }
}
