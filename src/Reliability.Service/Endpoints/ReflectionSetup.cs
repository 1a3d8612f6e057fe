using Google.Rpc;
using Grpc.Reflection;
using Grpc.Reflection.V1Alpha;
using ServiceDescriptor = Google.Protobuf.Reflection.ServiceDescriptor;

namespace Reliability.Service.Endpoints;

/// <summary>Reflection: the services, and the types of error details, which no method names since they travel as Any.</summary>
internal static class ReflectionSetup
{
    private static readonly ServiceDescriptor[] Services =
    [
        V1.ModuleCatalogService.Descriptor, V1.ModuleHistoryService.Descriptor, V1.LifeAnalysisService.Descriptor,
        V1.LifeForecastService.Descriptor, Grpc.Health.V1.Health.Descriptor, ServerReflection.Descriptor,
    ];

    public static void AddReflection(this IServiceCollection services)
    {
        // Registered first, so that it is taken in place of the one that knows the services' own files alone.
        services.AddSingleton(new ReflectionServiceImpl(
            Services.Select(service => service.FullName),
            SymbolRegistry.FromFiles(Services.Select(service => service.File).Append(ErrorDetailsReflection.Descriptor))));
        services.AddGrpcReflection();
    }
}
