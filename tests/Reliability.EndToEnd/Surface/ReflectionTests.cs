using Google.Protobuf.Reflection;
using Grpc.Reflection.V1Alpha;
using Reliability.EndToEnd.Running;
using Xunit;

namespace Reliability.EndToEnd.Surface;

/// <summary>Any gRPC client can ask what there is.</summary>
public sealed class ReflectionTests(SharedService shared)
{
    [Fact]
    public async Task Reflection_lists_the_services()
    {
        var token = TestContext.Current.CancellationToken;
        using var call = new ServerReflection.ServerReflectionClient(shared.Clients.Channel)
            .ServerReflectionInfo(cancellationToken: token);
        await call.RequestStream.WriteAsync(new ServerReflectionRequest { ListServices = "" }, token);
        Assert.True(await call.ResponseStream.MoveNext(token));
        var services = call.ResponseStream.Current.ListServicesResponse.Service.Select(service => service.Name).ToList();
        await call.RequestStream.CompleteAsync();
        Assert.False(await call.ResponseStream.MoveNext(token));

        string[] expected =
        [
            "reliability.v1.ModuleCatalogService", "reliability.v1.ModuleHistoryService",
            "reliability.v1.LifeAnalysisService", "reliability.v1.LifeForecastService", "grpc.health.v1.Health",
        ];
        Assert.Empty(expected.Except(services));
    }

    [Theory]
    [InlineData("google.rpc.BadRequest")]
    [InlineData("google.rpc.ErrorInfo")]
    [InlineData("google.rpc.ResourceInfo")]
    [InlineData("google.rpc.RetryInfo")]
    [InlineData("google.rpc.Status")]
    [InlineData("reliability.v1.ModuleEvent")]
    public async Task A_type_that_an_answer_may_carry_can_be_asked_for(string symbol)
    {
        var token = TestContext.Current.CancellationToken;
        using var call = new ServerReflection.ServerReflectionClient(shared.Clients.Channel)
            .ServerReflectionInfo(cancellationToken: token);
        await call.RequestStream.WriteAsync(new ServerReflectionRequest { FileContainingSymbol = symbol }, token);
        Assert.True(await call.ResponseStream.MoveNext(token));
        var answer = call.ResponseStream.Current;
        await call.RequestStream.CompleteAsync();

        Assert.Equal(ServerReflectionResponse.MessageResponseOneofCase.FileDescriptorResponse, answer.MessageResponseCase);
        var files = answer.FileDescriptorResponse.FileDescriptorProto.Select(FileDescriptorProto.Parser.ParseFrom);
        Assert.Contains(symbol, files.SelectMany(file => file.MessageType.Select(message => $"{file.Package}.{message.Name}")));
    }

    [Fact]
    public async Task A_caller_that_hangs_up_in_the_middle_of_a_stream_is_no_error_of_the_service()
    {
        var token = TestContext.Current.CancellationToken;
        // The log of the shared service is held free of errors when the run ends.
        for (var caller = 0; caller < 20; caller++)
        {
            using var call = new ServerReflection.ServerReflectionClient(shared.Clients.Channel)
                .ServerReflectionInfo(cancellationToken: token);
            await call.RequestStream.WriteAsync(new ServerReflectionRequest { ListServices = "" }, token);
            Assert.True(await call.ResponseStream.MoveNext(token));
        }
    }
}
