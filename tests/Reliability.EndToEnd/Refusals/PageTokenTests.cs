using System.Buffers.Text;
using System.Globalization;
using System.Text;
using System.Text.Json;
using Google.Protobuf;
using Google.Protobuf.Reflection;
using Grpc.Core;
using Reliability.EndToEnd.Records;
using Reliability.EndToEnd.Running;
using Reliability.EndToEnd.Uploads;
using Reliability.V1;
using Xunit;
using static Reliability.EndToEnd.Records.Posting;

namespace Reliability.EndToEnd.Refusals;

/// <summary>Page tokens made by hand are refused by every list there is, and never shake the service.</summary>
public sealed class PageTokenTests(SharedService shared)
{
    // A token begins with a digest of its question, which a caller can see; what is behind it is the place in the list.
    private const int DigestLength = 22;

    private static readonly ServiceDescriptor[] Services =
        [ModuleCatalogService.Descriptor, ModuleHistoryService.Descriptor, LifeAnalysisService.Descriptor, LifeForecastService.Descriptor];

    private static readonly Marshaller<byte[]> Bytes = Marshallers.Create(bytes => bytes, bytes => bytes);

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_token_made_by_hand_is_refused_by_every_list()
    {
        var upload = await PostAsync();
        var questions = Services.SelectMany(service => service.Methods)
            .Where(method => method.InputType.FindFieldByName("page_token") is not null)
            .SelectMany(method => Questions(method, upload).Select(question => (Method: method, Question: question))).ToList();
        // Nine lists, one of them in two views.
        Assert.Equal(10, questions.Count);
        var tokens = new List<string>();
        foreach (var (method, question) in questions)
        {
            var token = NextToken(method, await AskAsync(method, question, string.Empty));
            Assert.True(token.Length > DigestLength, $"{method.Name} has no second page.");
            // Untouched it goes on.
            await AskAsync(method, question, token);
            tokens.Add(token);
        }

        var refused = 0;
        foreach (var ((method, question), token) in questions.Zip(tokens))
        {
            var others = tokens.Where(other => other[..DigestLength] != token[..DigestLength]).ToList();
            foreach (var wrong in Wrong(method.Name, token).Concat(others).Concat(others.Where(other => !IsNumber(Place(other)) || !IsNumber(Place(token)))
                .Where(other => ListOf(Place(other)) != ListOf(Place(token))).Select(other => token[..DigestLength] + Place(other))))
            {
                await IsRefusedAsync(method, question, wrong);
                refused++;
            }

            // Where any text is a place in the order it may be taken; it is never our fault.
            foreach (var odd in Odd(token))
            {
                try
                {
                    await AskAsync(method, question, odd);
                }
                catch (RpcException exception)
                {
                    IsRefusal(method, odd, exception);
                }
            }
        }

        Assert.True(refused > 200, string.Create(CultureInfo.InvariantCulture, $"Only {refused} tokens were tried."));
    }

    private static string Place(string token) => token[DigestLength..];

    private static bool IsNumber(string text) => text.All(char.IsAsciiDigit);

    private static string ListOf(string place) => IsNumber(place) ? string.Empty : Parts(place)[0];

    private static string[] Parts(string place) => JsonSerializer.Deserialize<string[]>(Base64Url.DecodeFromChars(place))!;

    private static string Encoded(string json) => Base64Url.EncodeToString(Encoding.UTF8.GetBytes(json));

    private static string Encoded(IEnumerable<string> parts) => Encoded(JsonSerializer.Serialize(parts));

    /// <summary>Tokens with the right digest that no list gives out.</summary>
    private static IEnumerable<string> Wrong(string method, string token)
    {
        var (digest, place) = (token[..DigestLength], Place(token));
        yield return token[..10];
        yield return digest;
        foreach (var text in new[] { "x", "-1", "+1", "1e3", new string('9', 30), " 1", "%%%", "é", place[..^1], place[..(place.Length / 2)], place + "!" })
            yield return digest + text;
        foreach (var json in new[] { "null", "[]", "{}", "7", "[1,2]", "[null,null]", "[\"x\"]", "[\"x\",\"y\"]", "[[\"x\"]]", "[\"\\ud800\",\"y\"]", "\u0000" })
            yield return digest + Encoded(json);
        if (IsNumber(place))
            yield break;
        var parts = Parts(place);
        yield return digest + Encoded(parts[..^1]);
        yield return digest + Encoded([.. parts, "x"]);
        for (var i = 1; i < parts.Length; i++)
        {
            yield return digest + Encoded(With(parts, i, "\0"));
            if (!IsTyped(method, i))
                continue;
            Assert.True(IsNumber(parts[i]) || Guid.TryParse(parts[i], out _));
            foreach (var text in new[] { "x", "", "-1", "1.5", "2147483648000000000000", Guid.Empty.ToString() + "0" })
                yield return digest + Encoded(With(parts, i, text));
        }
    }

    /// <summary>Whether a part of a list's place is a number or an id, and no text that people give.</summary>
    private static bool IsTyped(string method, int part) => (method, part) switch
    {
        ("ListLives", 2) or ("ListRejectedRows", 1) or ("ListUploads", _) or ("ListModuleEvents", 1) => true,
        _ => false,
    };

    private static IEnumerable<string> Odd(string token)
    {
        if (IsNumber(Place(token)))
            yield break;
        var parts = Parts(Place(token));
        for (var i = 1; i < parts.Length; i++)
        {
            foreach (var text in new[] { "x", "-1", "'; drop table x; --", "😀", "zz", Guid.Empty.ToString(), "0", new string('9', 15) })
                yield return token[..DigestLength] + Encoded(With(parts, i, text));
        }
    }

    private static string[] With(string[] parts, int at, string text) => [.. parts.Select((part, i) => i == at ? text : part)];

    private static string NextToken(MethodDescriptor method, byte[] answer) =>
        (string)method.OutputType.FindFieldByName("next_page_token").Accessor.GetValue(method.OutputType.Parser.ParseFrom(answer));

    /// <summary>What each list is asked: what it must be, and the second view of lives.</summary>
    private static IEnumerable<IMessage> Questions(MethodDescriptor method, string upload)
    {
        switch (method.Name)
        {
            case "ListModuleEvents":
                yield return new ListModuleEventsRequest { Parent = "modules/token-0" };
                break;
            case "ListRejectedRows":
                yield return new ListRejectedRowsRequest { Parent = upload };
                break;
            case "ListAttributeValues":
                yield return new ListAttributeValuesRequest { Attribute = V1.Attribute.Site };
                break;
            case "ListLives":
                yield return new ListLivesRequest { Cohort = new() { ModuleModels = { "moduleModels/token" } } };
                yield return new ListLivesRequest { Cohort = new() { ModuleModels = { "moduleModels/token" }, DataCutoffTime = Time(2024, 6, 1) } };
                break;
            default:
                yield return method.InputType.Parser.ParseFrom(ByteString.Empty);
                break;
        }
    }

    private async Task IsRefusedAsync(MethodDescriptor method, IMessage question, string token)
    {
        try
        {
            await AskAsync(method, question, token);
            Assert.Fail($"{method.Name} took the token {token}.");
        }
        catch (RpcException exception)
        {
            IsRefusal(method, token, exception);
        }
    }

    private static void IsRefusal(MethodDescriptor method, string token, RpcException exception)
    {
        Assert.True(exception.StatusCode == StatusCode.InvalidArgument, $"{method.Name} answered {exception.Status} to {token}.");
        Assert.Equal(["page_token"], StatusDetails.Fields(StatusDetails.Of(exception)));
    }

    private async Task<byte[]> AskAsync(MethodDescriptor method, IMessage question, string token)
    {
        var request = method.InputType.Parser.ParseFrom(question.ToByteString());
        method.InputType.FindFieldByName("page_size").Accessor.SetValue(request, 1);
        method.InputType.FindFieldByName("page_token").Accessor.SetValue(request, token);
        using var call = shared.Clients.Channel.CreateCallInvoker().AsyncUnaryCall(
            new Method<byte[], byte[]>(MethodType.Unary, method.Service.FullName, method.Name, Bytes, Bytes),
            null, new CallOptions(cancellationToken: Cancellation), request.ToByteArray());
        return await call;
    }

    /// <summary>Two of everything that is listed.</summary>
    private async Task<string> PostAsync()
    {
        await ModelAsync(shared.Clients, "token", 2000);
        await ModelAsync(shared.Clients, "token-other", 2000);
        var posting = new Posting(shared.Clients, "token");
        var receipts = await posting.ReceiptsAsync(Enumerable.Range(0, 2).SelectMany(i => new[]
        {
            posting.Event($"{i}-a", $"modules/token-{i}", Time(2024, 1, 1), e => e.Registered = new() { ModuleModel = "moduleModels/token", AgeHours = 0, ReadingHours = 0 }),
            posting.Event($"{i}-b", $"modules/token-{i}", Time(2024, 1, 1), e => e.Installed = new() { HostDevice = $"token-h{i}", ReadingHours = 0, Site = $"Token {i}" }),
            posting.Event($"{i}-c", $"modules/token-{i}", Time(2024, 2, 1), e => e.RunHoursRead = new() { Readings = { new MeterReading { Hours = 300 } } }),
        }));
        foreach (var (alternate, primary) in new[] { ("Token 0.", "Token 0"), ("Token 1.", "Token 1") })
        {
            await shared.Clients.History.CreateAliasAsync(
                new CreateAliasRequest { Alias = new() { Kind = AliasKind.Site, Alternate = alternate, Primary = primary } }, cancellationToken: Cancellation);
        }

        var name = string.Empty;
        for (var i = 0; i < 2; i++)
        {
            using var file = new SentFile(shared.Clients, "token-file");
            await file.BeginAsync();
            await file.SendAsync("event_id,event,module,occur_time\na,exploded,m,2024-01-05\nb,exploded,m,2024-01-05\n");
            name = (await file.CompleteAsync()).Upload.Name;
        }

        await shared.Clients.History.ListLivesAsync(
            new ListLivesRequest { PageSize = 1, MinimumRevision = receipts[^1].Revision }, cancellationToken: Cancellation);
        return name;
    }
}
