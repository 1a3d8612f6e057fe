using System.Diagnostics;
using System.Globalization;
using System.Net;
using System.Net.Sockets;
using System.Text;
using Google.Rpc;
using Grpc.Core;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.Uploads;

/// <summary>Uploads whose sender sends nothing more, and keeps the connection: they hold up neither others nor the service's end.</summary>
public sealed class IdleUploadTests(ITestOutputHelper output)
{
    // What the host waits for at its end; the service must not, and how long it takes is no matter otherwise.
    private const int HostWaitsSeconds = 300;

    private static readonly TimeSpan Longest = TimeSpan.FromMinutes(5), LongestStop = TimeSpan.FromSeconds(HostWaitsSeconds / 3);

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Senders_that_send_nothing_more_lose_their_places_and_are_told_how_far_they_came()
    {
        await using var service = await InsideService.StartAsync(null, Cancellation, "--Uploads:MaxPauseSeconds=2");
        using var begun = new SentFile(service.Clients, "idle-begun");
        using var silent = service.Clients.History.UploadEvents(cancellationToken: Cancellation);
        var bare = Enumerable.Range(0, 3).Select(i => new SentFile(service.Clients, $"idle-{i}")).ToList();
        try
        {
            await begun.BeginAsync();
            await begun.SendAsync(SentFile.Sheet("idle-begun", 620));
            foreach (var file in bare)
                await file.BeginAsync();

            foreach (var file in bare)
                IsStalled(await Assert.ThrowsAsync<RpcException>(() => file.Answer.WaitAsync(Longest, Cancellation)));
            IsStalled(await Assert.ThrowsAsync<RpcException>(() => silent.ResponseAsync.WaitAsync(Longest, Cancellation)));
            var told = IsStalled(await Assert.ThrowsAsync<RpcException>(() => begun.Answer.WaitAsync(Longest, Cancellation)));
            await CameSoFarAsync(service.Clients, told);
        }
        finally
        {
            bare.ForEach(file => file.Dispose());
        }

        using var content = new StringContent(SentFile.Sheet("idle-next", 5), Encoding.UTF8, "text/csv");
        using var next = await service.Clients.Http.PostAsync(new Uri("/v1/events:upload?source=idle-next", UriKind.Relative), content, Cancellation);
        Assert.Equal(HttpStatusCode.OK, next.StatusCode);
    }

    [Fact]
    public async Task A_service_that_stops_waits_for_no_sender_and_says_that_it_stops()
    {
        await using var own = new OwnService();
        var service = await own.StartAsync($"--shutdownTimeoutSeconds={HostWaitsSeconds}");
        Google.Rpc.Status told;
        using (var clients = new ServiceClients(service))
        using (var begun = new SentFile(clients, "stop-begun"))
        using (var bare = new SentFile(clients, "stop-bare"))
        using (var socket = new TcpClient())
        {
            await bare.BeginAsync();
            await begun.BeginAsync();
            await begun.SendAsync(SentFile.Sheet("stop-begun", 620));
            await begun.RecordedAsync();
            await socket.ConnectAsync("127.0.0.1", service.HttpAddress.Port, Cancellation);
            await socket.GetStream().WriteAsync(Encoding.UTF8.GetBytes(string.Create(CultureInfo.InvariantCulture,
                $"POST /v1/events:upload?source=stop-http HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: text/csv\r\nContent-Length: 1000000\r\n\r\n{SentFile.Sheet("stop-http", 620)}")), Cancellation);
            using (var watched = new SentFile(clients, "stop-http"))
                await watched.RecordedAsync();
            var head = new byte[12];
            var answered = socket.GetStream().ReadAtLeastAsync(head, head.Length, throwOnEndOfStream: false, Cancellation).AsTask();
            var sending = KeepSendingAsync(socket, answered);

            var stopping = Stopwatch.GetTimestamp();
            Assert.Equal(0, await service.StopAsync());
            var took = Stopwatch.GetElapsedTime(stopping);
            output.WriteLine($"Stopped within {took.TotalSeconds:F1} s.");
            Assert.InRange(took, TimeSpan.Zero, LongestStop);

            IsStopping(await Assert.ThrowsAsync<RpcException>(() => bare.Answer));
            told = IsStopping(await Assert.ThrowsAsync<RpcException>(() => begun.Answer));
            Assert.Equal("HTTP/1.1 503", Encoding.ASCII.GetString(head, 0, await answered));
            await sending;
        }

        using var again = new ServiceClients(await own.StartAgainAsync(service));
        await CameSoFarAsync(again, told);
    }

    [Fact]
    public async Task A_pause_that_is_none_keeps_the_service_from_starting()
    {
        var (exitCode, said) = await ServiceProcess.RunToEndAsync("--Uploads:MaxPauseSeconds=0");
        Assert.Equal(2, exitCode);
        Assert.Contains(
            "Uploads:MaxPauseSeconds must be a whole number of seconds above zero, a day at most; got \"0\"", said, StringComparison.Ordinal);
    }

    /// <summary>Sends row after row, so that the sender is not cut off as too slow, until the answer is there, and hangs up.</summary>
    private static async Task KeepSendingAsync(TcpClient socket, Task answered)
    {
        for (var i = 620; !answered.IsCompleted; i++)
        {
            await socket.GetStream().WriteAsync(Encoding.UTF8.GetBytes(SentFile.Row("stop-http", i)), Cancellation);
            await Task.WhenAny(answered, Task.Delay(50, Cancellation));
        }

        socket.Close();
    }

    private static Google.Rpc.Status IsStalled(RpcException refused)
    {
        Assert.Equal(StatusCode.DeadlineExceeded, refused.StatusCode);
        var status = StatusDetails.Of(refused);
        Assert.Equal("UPLOAD_STALLED", StatusDetails.Reason(status));
        return status;
    }

    private static Google.Rpc.Status IsStopping(RpcException refused)
    {
        Assert.True(refused.StatusCode == StatusCode.Unavailable, refused.ToString());
        var status = StatusDetails.Of(refused);
        Assert.Equal("SERVICE_STOPPING", StatusDetails.Reason(status));
        Assert.NotNull(status.GetDetail<RetryInfo>());
        return status;
    }

    /// <summary>620 rows came, and the refusal, the upload and the record say so.</summary>
    private static async Task CameSoFarAsync(ServiceClients clients, Google.Rpc.Status told)
    {
        var upload = await clients.History.GetUploadAsync(
            new() { Name = told.GetDetail<ResourceInfo>().ResourceName }, cancellationToken: Cancellation);
        Assert.Equal(UploadState.Incomplete, upload.State);
        // The parser may still hold the last row, since nothing told it that the file ends there.
        Assert.InRange(upload.RowCount, 619, 620);
        Assert.Equal((upload.RowCount, upload.RowCount + 1), (upload.RecordedCount, upload.SettledLine));
        Assert.Contains(
            string.Create(CultureInfo.InvariantCulture, $"The upload is INCOMPLETE; all up to line {upload.SettledLine} is settled."),
            told.Message, StringComparison.Ordinal);
        var record = await clients.History.ListModuleEventsAsync(
            new ListModuleEventsRequest { Parent = "modules/" + upload.FileName[..^4], PageSize = 1000 }, cancellationToken: Cancellation);
        Assert.Equal(upload.RecordedCount, record.Events.Count);
    }
}
