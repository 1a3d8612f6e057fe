using Microsoft.AspNetCore.Mvc.ApiExplorer;
using Microsoft.Extensions.DependencyInjection.Extensions;
using Microsoft.OpenApi.Models;

namespace Reliability.Service.OpenApi;

/// <summary>One OpenAPI document of all routes, made from the same protos.</summary>
internal static class OpenApiSetup
{
    public static void AddOpenApiDocument(this WebApplicationBuilder builder)
    {
        builder.Services.AddGrpcSwagger();
        builder.Services.TryAddEnumerable(
            ServiceDescriptor.Transient<IApiDescriptionProvider, TranscodedRoutes>());
        builder.Services.AddSwaggerGen(document =>
        {
            document.SwaggerDoc("v1", new OpenApiInfo
            {
                Title = "Reliability",
                Version = "v1",
                Description = "Lives of hour-metered modules: record what happened, fit how long they last, predict when they fail.",
            });
            document.SchemaFilter<LongAsString>();
            document.OperationFilter<ErrorAnswers>();
            document.DocumentFilter<UploadOperation>();
            foreach (var comments in Directory.EnumerateFiles(AppContext.BaseDirectory, "Reliability.Contracts.xml"))
                document.IncludeGrpcXmlComments(comments, includeControllerXmlComments: true);
        });
    }

    public static void MapOpenApiDocument(this WebApplication app) =>
        app.MapSwagger("/openapi/{documentName}.json");
}
