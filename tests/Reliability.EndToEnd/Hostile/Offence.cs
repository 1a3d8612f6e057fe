using System.Globalization;
using System.Net;
using System.Net.Sockets;
using Google.Api;
using Google.Protobuf;
using Google.Protobuf.Reflection;
using Google.Rpc;
using Grpc.Core;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;
using RpcStatus = Google.Rpc.Status;

namespace Reliability.EndToEnd.Hostile;

/// <summary>Sends hostile bytes to one service and judges each answer: a documented status that shows nothing of the inside.</summary>
internal sealed class Offence : IDisposable
{
    private static readonly MethodDescriptor[] Methods =
    [
        .. new[]
        {
            ModuleCatalogService.Descriptor, ModuleHistoryService.Descriptor, LifeAnalysisService.Descriptor,
            LifeForecastService.Descriptor,
        }.SelectMany(service => service.Methods),
    ];

    private static readonly (MethodDescriptor Method, HttpMethod Verb, string Path)[] Routes =
    [
        .. from method in Methods
           let rule = method.GetOptions()?.GetExtension(AnnotationsExtensions.Http)
           where rule is not null && method.Name != nameof(ModuleHistoryService.ModuleHistoryServiceClient.WatchEvents)
           let route = rule.PatternCase switch
           {
               HttpRule.PatternOneofCase.Get => (HttpMethod.Get, rule.Get),
               HttpRule.PatternOneofCase.Post => (HttpMethod.Post, rule.Post),
               HttpRule.PatternOneofCase.Patch => (HttpMethod.Patch, rule.Patch),
               HttpRule.PatternOneofCase.Delete => (HttpMethod.Delete, rule.Delete),
               _ => throw new NotSupportedException($"{method.FullName}: {rule.PatternCase}"),
           }
           select (method, route.Item1, route.Item2),
    ];

    // Two frames of a message of at most five events.
    private const int MostInStream = 10;

    private readonly HttpClient _client = new() { Timeout = TimeSpan.FromMinutes(5) };
    private readonly ServiceProcess _service;
    private readonly Random _random;
    private int _uploads;
    private readonly SortedDictionary<string, int> _answers = new(StringComparer.Ordinal);

    public Offence(ServiceProcess service, int seed) => (_service, _random) = (service, new(seed));

    /// <summary>Events that the service gave a receipt for as new, by all answers.</summary>
    public int Recorded { get; private set; }

    /// <summary>Events that a stream may have brought before it broke, without a receipt having gone out.</summary>
    public int WithoutReceipt { get; private set; }

    /// <summary>Right rows among hostile ones, each of which has its receipt.</summary>
    public int RightRows { get; private set; }

    /// <summary>How often each answer came.</summary>
    public string Answers => string.Join(", ", _answers.Select(a => $"{a.Value} {a.Key}"));

    public void Dispose() => _client.Dispose();

    public async Task GrpcAsync()
    {
        var method = Methods[_random.Next(Methods.Length)];
        var message = HostileMessage.Of(method.InputType, _random).ToByteArray();
        if (_random.Next(3) > 0)
            message = HostileBytes.Spoil(message, _random);
        using var request = new HttpRequestMessage(
            HttpMethod.Post, new Uri(_service.GrpcAddress, $"/{method.Service.FullName}/{method.Name}"))
        {
            Version = HttpVersion.Version20,
            VersionPolicy = HttpVersionPolicy.RequestVersionExact,
            Content = new ByteArrayContent(HostileBytes.Frames(message, _random)),
        };
        request.Content.Headers.ContentType = new("application/grpc");
        request.Headers.TE.Add(new("trailers"));
        var endless = method.Name == nameof(ModuleHistoryService.ModuleHistoryServiceClient.WatchEvents);
        request.Headers.Add("grpc-timeout", endless ? "300m" : "40S");
        if (_random.Next(10) == 0)
            request.Headers.Add("grpc-encoding", _random.Next(2) == 0 ? "gzip" : "no-such");

        using var response = await _client.SendAsync(request, TestContext.Current.CancellationToken);
        var body = await response.Content.ReadAsByteArrayAsync(TestContext.Current.CancellationToken);
        string? Said(string name) =>
            (response.TrailingHeaders.TryGetValues(name, out var values) || response.Headers.TryGetValues(name, out values))
                ? values.Single() : null;

        var status = (StatusCode)int.Parse(Said("grpc-status") ?? "-1", CultureInfo.InvariantCulture);
        Note($"{method.Name} {status}");
        var text = Uri.UnescapeDataString(Said("grpc-message") ?? "");
        var details = Said("grpc-status-details-bin") is { } encoded
            ? RpcStatus.Parser.ParseFrom(Convert.FromBase64String(encoded.PadRight((encoded.Length + 3) / 4 * 4, '='))) : null;
        Assert.True(Enum.IsDefined(status) && status != StatusCode.Unknown, $"{method.Name}: {status} {text}");

        // A frame that lies is refused by gRPC itself, and documented as such: INTERNAL, without details.
        Assert.True(status != StatusCode.Internal || details is null, $"{method.Name}: {text} {details}");
        StatusDetails.ShowsNothingOfTheInside(text + details);
        if (method.Name is "RecordEvents" or "StreamEvents")
            CountFrames(method, body);
        if (method.Name == "StreamEvents" && status != StatusCode.OK)
            WithoutReceipt += MostInStream;
    }

    public async Task JsonAsync()
    {
        var (method, verb, path) = Routes[_random.Next(Routes.Length)];
        var id = _random.Next(3) == 0 ? Uri.EscapeDataString(AnyText()) : "any";
        var route = System.Text.RegularExpressions.Regex.Replace(path, @"\{[^=]*=([a-zA-Z]+)/\*\}", $"$1/{id}");
        if (_random.Next(3) == 0 || verb == HttpMethod.Get)
            route += "?" + Query(method);
        using var request = new HttpRequestMessage(verb, new Uri(_service.HttpAddress, route));
        if (verb != HttpMethod.Get)
        {
            request.Content = new ByteArrayContent(Body(method));
            var types = new[] { "application/json", "application/json", "application/json", "application/json", "text/plain", "application/json; charset=utf-16", "multipart/form-data; boundary=x", "application/grpc" };
            request.Content.Headers.TryAddWithoutValidation("Content-Type", types[_random.Next(types.Length)]);
            if (_random.Next(10) == 0)
                request.Content.Headers.TryAddWithoutValidation("Content-Encoding", _random.Next(2) == 0 ? "gzip" : "br");
        }

        using var response = await _client.SendAsync(request, TestContext.Current.CancellationToken);
        var text = await response.Content.ReadAsStringAsync(TestContext.Current.CancellationToken);
        Note($"{verb} {path} {(int)response.StatusCode}");
        Assert.True((int)response.StatusCode < 500 || response.StatusCode == HttpStatusCode.GatewayTimeout, $"{verb} {route}: {response.StatusCode} {text}");
        if (!response.IsSuccessStatusCode)
        {
            StatusDetails.ShowsNothingOfTheInside(text);
            if (text.Length > 0)
                Assert.NotEqual(0, StatusDetails.Parse(text).Code);
        }
        else if (method.Name == "RecordEvents")
            Recorded += StatusDetails.Parse<RecordEventsResponse>(text).Results.Count(IsNew);
    }

    /// <summary>
    /// Files of rows that are none, with right ones among them: CSV or JSON lines, of which two in three are spoiled as a whole.
    /// Where the file as such is right, each right row among the hostile ones has its receipt.
    /// </summary>
    public async Task UploadAsync()
    {
        var file = HostileFile.Of(_random, AnyText, _uploads++);
        var spoiled = _random.Next(3) > 0;
        var checkedOnly = _random.Next(3) == 0;
        string[] types = [file.MediaType, file.MediaType, "text/csv", "application/x-ndjson", "application/json", "multipart/form-data; boundary=x", "text/csv; charset=utf-16"];
        var type = types[_random.Next(types.Length)];
        var (code, text) = await SendFileAsync(spoiled ? HostileBytes.Spoil(file.Mixed, _random) : file.Mixed, type, checkedOnly);
        Note($"POST upload {(int)code}");
        Assert.True((int)code < 500, $"upload: {code} {text}");
        StatusDetails.ShowsNothingOfTheInside(text);
        if (checkedOnly)
            return;
        Recorded += await UploadedAsync(code, text) is { } upload ? (int)upload.RecordedCount : 0;
        if (spoiled || type != file.MediaType)
            return;

        // All of them are there already when they come once more, alone.
        var (again, told) = await SendFileAsync(file.RightOnly, type, validateOnly: false);
        var settled = UploadEventsResponse.Parser.ParseJson(told).Upload;
        Assert.Equal(
            (HttpStatusCode.OK, HttpStatusCode.OK, 0L, (long)file.RightRows, 0L),
            (code, again, settled.RecordedCount, settled.DuplicateCount, settled.RejectedRowCount));
        RightRows += file.RightRows;
    }

    /// <summary>Bytes that are no HTTP at all.</summary>
    public async Task SocketAsync()
    {
        using var socket = new TcpClient();
        var address = _random.Next(2) == 0 ? _service.GrpcAddress : _service.HttpAddress;
        await socket.ConnectAsync(address.Host, address.Port, TestContext.Current.CancellationToken);
        var start = _random.Next(2) == 0 ? "PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n"u8.ToArray() : [];
        try
        {
            await socket.GetStream().WriteAsync(
                (byte[])[.. start, .. HostileBytes.Noise(_random, _random.Next(1, 3_000))], TestContext.Current.CancellationToken);
        }
        catch (IOException)
        {
            // It hung up, as it may.
        }
    }

    private async Task<(HttpStatusCode Code, string Text)> SendFileAsync(byte[] bytes, string type, bool validateOnly)
    {
        using var content = new ByteArrayContent(bytes);
        content.Headers.TryAddWithoutValidation("Content-Type", type);
        using var response = await _client.PostAsync(
            new Uri(_service.HttpAddress, "/v1/events:upload?source=quennick" + (validateOnly ? "&validateOnly=true" : "")),
            content, TestContext.Current.CancellationToken);
        return (response.StatusCode, await response.Content.ReadAsStringAsync(TestContext.Current.CancellationToken));
    }

    /// <summary>What became of a file, also of one that was broken off; null where none was begun.</summary>
    private async Task<Upload?> UploadedAsync(HttpStatusCode code, string text)
    {
        if (code == HttpStatusCode.OK)
            return UploadEventsResponse.Parser.ParseJson(text).Upload;
        if (StatusDetails.Parse(text).GetDetail<ResourceInfo>()?.ResourceName is not { } name)
            return null;
        return Upload.Parser.ParseJson(await _client.GetStringAsync(
            new Uri(_service.HttpAddress, "/v1/" + name), TestContext.Current.CancellationToken));
    }

    private static bool IsNew(RecordEventResult result) => result.Receipt is { Duplicate: false };

    private void Note(string answer) => _answers[answer] = _answers.GetValueOrDefault(answer) + 1;

    private void CountFrames(MethodDescriptor method, byte[] body)
    {
        for (var at = 0; at + 5 <= body.Length;)
        {
            var length = System.Buffers.Binary.BinaryPrimitives.ReadInt32BigEndian(body.AsSpan(at + 1));
            var message = method.OutputType.Parser.ParseFrom(body, at + 5, length);
            Recorded += message switch
            {
                RecordEventsResponse recorded => recorded.Results.Count(IsNew),
                StreamEventsResponse streamed => streamed.Results.Count(IsNew),
                _ => 0,
            };
            at += 5 + length;
        }
    }

    private byte[] Body(MethodDescriptor method)
    {
        if (_random.Next(12) == 0)
            return HostileBytes.Noise(_random, _random.Next(0, 500));
        string text;
        try
        {
            text = JsonFormatter.Default.Format(HostileMessage.Of(method.InputType, _random));
        }
        catch (InvalidOperationException)
        {
            // A time that JSON cannot say.
            text = """{"name": "modules/any", "events": [{"occurTime": "99999-13-45T99:99:99Z"}]}""";
        }

        return _random.Next(4) == 0 ? System.Text.Encoding.UTF8.GetBytes(text) : HostileBytes.SpoilJson(text, _random);
    }

    private string Query(MethodDescriptor method)
    {
        var fields = method.InputType.Fields.InFieldNumberOrder();
        return string.Join('&', Enumerable.Range(0, _random.Next(0, 5)).Select(_ =>
        {
            var name = _random.Next(5) == 0 || fields.Count == 0 ? AnyText() : fields[_random.Next(fields.Count)].JsonName;
            if (_random.Next(3) == 0)
                name += "." + AnyText();
            return Uri.EscapeDataString(name) + "=" + Uri.EscapeDataString(AnyText());
        }));
    }

    private string AnyText() => _random.Next(6) switch
    {
        0 => new string('a', _random.Next(0, 2_000)),
        1 => "NaN",
        2 => _random.NextInt64().ToString(CultureInfo.InvariantCulture),
        3 => "site = \"" + (char)_random.Next(1, 0xD7FF) + "\" OR 1",
        4 => "\0\u202e'\"<>%&",
        _ => "2024-02-30T25:00:00Z",
    };
}
