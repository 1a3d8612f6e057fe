using System.Globalization;
using System.Net;
using System.Text;
using Google.Rpc;
using Grpc.Core;
using Microsoft.Extensions.DependencyInjection;
using Npgsql;
using Reliability.EndToEnd.Running;
using Reliability.Service.Uploads;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.Uploads;

/// <summary>What an upload may be at most: bytes, uploads at once, days.</summary>
public sealed class UploadLimitTests
{
    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_file_of_just_the_limit_is_taken_and_of_a_longer_one_the_rows_within_it()
    {
        // More than is read to see what the file is.
        const int Rows = 10_000;
        var most = Encoding.UTF8.GetByteCount(SentFile.Sheet("size-http", Rows));
        await using var service = await InsideService.StartAsync(
            null, Cancellation, string.Create(CultureInfo.InvariantCulture, $"--Uploads:MaxFileBytes={most}"));

        using var whole = await PostAsync(service, "size-http", SentFile.Sheet("size-http", Rows));
        Assert.Equal(HttpStatusCode.OK, whole.StatusCode);

        // A row more on HTTP, with another name of the same length so that nothing is there already.
        using var longer = await PostAsync(service, "size-more", SentFile.Sheet("size-more", Rows + 1));
        Assert.Equal(HttpStatusCode.TooManyRequests, longer.StatusCode);
        await IsRefusedAsync(service, await StatusDetails.OfAsync(longer), most, Rows);

        using var file = new SentFile(service.Clients, "size-grpc");
        await file.BeginAsync();
        var refused = await Assert.ThrowsAsync<RpcException>(async () =>
        {
            // Without end, as a file of unknown length.
            for (var i = 0; ; i++)
                await file.SendAsync(i == 0 ? SentFile.Sheet("size-grpc", Rows) : SentFile.Row("size-grpc", Rows + i));
        });
        if (refused.GetRpcStatus() is null)
            refused = await Assert.ThrowsAsync<RpcException>(() => file.Answer);
        Assert.Equal(StatusCode.ResourceExhausted, refused.StatusCode);
        await IsRefusedAsync(service, StatusDetails.Of(refused), most, Rows);
    }

    [Fact]
    public async Task A_limit_that_is_none_keeps_the_service_from_starting()
    {
        var (exitCode, said) = await ServiceProcess.RunToEndAsync("--Uploads:MaxFileBytes=1GB");
        Assert.Equal(2, exitCode);
        Assert.Contains("Uploads:MaxFileBytes must be a whole number of bytes above zero; got \"1GB\"", said, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_fifth_upload_is_told_to_try_again_until_one_has_ended()
    {
        await using var service = await InsideService.StartAsync(null, Cancellation);
        var files = Enumerable.Range(0, 4).Select(i => new SentFile(service.Clients, $"busy-{i}")).ToList();
        try
        {
            foreach (var (i, file) in files.Index())
            {
                await file.BeginAsync();
                await file.SendAsync(SentFile.Sheet($"busy-{i}", 600));
            }

            // Where something of it is on record, it is under way.
            foreach (var file in files)
                await file.RecordedAsync();

            using var onHttp = await PostAsync(service, "busy-http", SentFile.Sheet("busy-http", 5));
            Assert.Equal(HttpStatusCode.TooManyRequests, onHttp.StatusCode);
            IsBusy(await StatusDetails.OfAsync(onHttp));
            using (var fifth = new SentFile(service.Clients, "busy-grpc"))
            {
                await fifth.BeginAsync();
                var refused = await Assert.ThrowsAsync<RpcException>(() => fifth.Answer);
                Assert.Equal(StatusCode.ResourceExhausted, refused.StatusCode);
                IsBusy(StatusDetails.Of(refused));
            }

            var ended = await files[0].CompleteAsync();
            Assert.Equal((UploadState.Complete, 600L), (ended.Upload.State, ended.Upload.RecordedCount));
            using var next = await PostAsync(service, "busy-http", SentFile.Sheet("busy-http", 5));
            Assert.Equal(HttpStatusCode.OK, next.StatusCode);

            // One whose sender goes away gives its place back too.
            files[1].Dispose();
            await Eventually.GetAsync(async () =>
            {
                using var retried = await PostAsync(service, "busy-again", SentFile.Sheet("busy-again", 5));
                return retried.StatusCode == HttpStatusCode.OK ? "" : null;
            });
        }
        finally
        {
            files.ForEach(file => file.Dispose());
        }

        static void IsBusy(Google.Rpc.Status status)
        {
            Assert.Equal("BUSY", StatusDetails.Reason(status));
            Assert.True(status.GetDetail<RetryInfo>().RetryDelay.Seconds > 0);
        }
    }

    [Fact]
    public async Task After_30_days_an_upload_is_gone_with_its_rows_and_what_it_recorded_stays()
    {
        var clock = new MovedClock();
        await using var service = await InsideService.StartAsync(
            builder => builder.Services.AddSingleton<TimeProvider>(clock), Cancellation);
        using var answer = await PostAsync(service, "expires", SentFile.Sheet("expires", 5) + "x,exploded,expires,2024-01-05,1\n");
        var upload = UploadEventsResponse.Parser.ParseJson(await answer.Content.ReadAsStringAsync(Cancellation)).Upload;
        Assert.Equal(TimeSpan.FromDays(30), upload.ExpireTime.ToDateTimeOffset() - upload.CreateTime.ToDateTimeOffset());
        await using var database = NpgsqlDataSource.Create(await PrivateClusterAccess.ConnectionStringAsync(service.DataDirectory));
        var expiry = service.Services.GetRequiredService<UploadExpiry>();

        clock.Ahead = TimeSpan.FromDays(30) - TimeSpan.FromMinutes(30);
        await expiry.DeleteAsync(Cancellation);
        Assert.Single((await service.Clients.History.ListRejectedRowsAsync(new() { Parent = upload.Name }, cancellationToken: Cancellation)).RejectedRows);
        Assert.Equal(1, await RowsAsync(database));

        // Not given any more from that moment, and deleted at the next round.
        clock.Ahead = TimeSpan.FromDays(30) + TimeSpan.FromMinutes(1);
        var gone = await Assert.ThrowsAsync<RpcException>(async () =>
            await service.Clients.History.ListRejectedRowsAsync(new() { Parent = upload.Name }, cancellationToken: Cancellation));
        Assert.Equal(StatusCode.NotFound, gone.StatusCode);
        Assert.Empty((await service.Clients.History.ListUploadsAsync(new(), cancellationToken: Cancellation)).Uploads);
        await expiry.DeleteAsync(Cancellation);
        Assert.Equal(0, await RowsAsync(database));
        var module = await service.Clients.History.GetModuleAsync(new() { Name = "modules/expires" }, cancellationToken: Cancellation);
        Assert.Equal(5, module.UnresolvedEventCount);
    }

    private static async Task<long> RowsAsync(NpgsqlDataSource database)
    {
        await using var command = database.CreateCommand("select count(*) from reliability.rejected_row");
        return (long)(await command.ExecuteScalarAsync(Cancellation))!;
    }

    private static async Task IsRefusedAsync(InsideService service, Google.Rpc.Status status, int most, int rows)
    {
        Assert.Equal("LIMIT_EXCEEDED", StatusDetails.Reason(status));
        Assert.Equal(["file"], StatusDetails.Fields(status));
        Assert.Contains(string.Create(CultureInfo.InvariantCulture, $"must not have more than {most:N0} bytes"), status.Message, StringComparison.Ordinal);
        var upload = await service.Clients.History.GetUploadAsync(
            new() { Name = status.GetDetail<ResourceInfo>().ResourceName }, cancellationToken: Cancellation);
        Assert.Equal(UploadState.Incomplete, upload.State);
        // The parser may still hold the last row, since nothing told it that the file ends there.
        Assert.InRange(upload.RowCount, rows - 1, rows);
        Assert.Equal((upload.RowCount, upload.RowCount + 1), (upload.RecordedCount, upload.SettledLine));
    }

    private static async Task<HttpResponseMessage> PostAsync(InsideService service, string source, string sheet)
    {
        using var content = new StringContent(sheet, Encoding.UTF8, "text/csv");
        return await service.Clients.Http.PostAsync(new Uri("/v1/events:upload?source=" + source, UriKind.Relative), content, Cancellation);
    }
}
