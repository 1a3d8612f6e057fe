using Reliability.Service.Aliases;
using Reliability.Service.Errors;
using Reliability.Service.Events;
using Reliability.Service.Forecasts;
using Reliability.Service.Hosting;
using Reliability.Service.Json;
using Reliability.Service.Lives;
using Reliability.Service.Uploads;
using Reliability.Service.Validation;

namespace Reliability.Service.Endpoints;

/// <summary>gRPC with its JSON side, and reflection.</summary>
internal static class RpcEndpoints
{
    public static void AddRpc(this WebApplicationBuilder builder)
    {
        builder.Services.AddSingleton(TimeProvider.System);
        builder.Services.AddSingleton<Failures>();
        builder.Services.AddSingleton<RequestCheck>();
        builder.Services.AddTransient<EventPosting>();
        builder.Services.AddSingleton<OpenStreams>();
        builder.Services.AddHostedService(services => services.GetRequiredService<OpenStreams>());
        builder.Services.AddTransient<EventStream>();
        builder.Services.AddTransient<EventWatch>();
        builder.Services.AddSingleton<UploadSlots>();
        builder.Services.AddSingleton(UploadOptions.Read(builder.Configuration));
        builder.Services.AddTransient<Uploading>();
        builder.Services.AddTransient<RejectedRowsFile>();
        builder.Services.AddSingleton<UploadExpiry>();
        builder.Services.AddHostedService(services => services.GetRequiredService<UploadExpiry>());
        builder.Services.AddTransient<AliasRequests>();
        builder.Services.AddTransient<LifeList>();
        builder.Services.AddTransient<LifeExport>();
        builder.Services.AddTransient<Forecasting>();
        builder.Services
            .AddGrpc(grpc =>
            {
                grpc.MaxReceiveMessageSize = Limits.MaxMessageBytes;
                // Answers may be larger than questions: a page of lives, the points of a large estimate.
                grpc.MaxSendMessageSize = null;
                grpc.EnableDetailedErrors = false;
                // Else the route for unknown services takes /v1/... as one and hides that a method is not allowed.
                grpc.IgnoreUnknownServices = true;
                grpc.Interceptors.Add<ErrorInterceptor>();
            })
            .AddJsonTranscoding(json =>
            {
                json.TypeRegistry = StatusJson.Details;
                json.JsonSettings.WriteInt64sAsStrings = true;
            });
        builder.Services.AddReflection();
    }

    public static void MapRpc(this WebApplication app)
    {
        app.MapGrpcService<ModuleCatalogEndpoint>();
        app.MapGrpcService<ModuleHistoryEndpoint>();
        app.MapGrpcService<LifeAnalysisEndpoint>();
        app.MapGrpcService<LifeForecastEndpoint>();
        app.MapUploads();
        app.MapGrpcReflectionService();
    }
}
