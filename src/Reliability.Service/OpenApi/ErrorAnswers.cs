using Google.Rpc;
using Microsoft.OpenApi.Models;
using Swashbuckle.AspNetCore.SwaggerGen;

namespace Reliability.Service.OpenApi;

/// <summary>Every route may refuse, always in the same form.</summary>
internal sealed class ErrorAnswers : IOperationFilter
{
    public void Apply(OpenApiOperation operation, OperationFilterContext context)
    {
        var schema = context.SchemaGenerator.GenerateSchema(typeof(Status), context.SchemaRepository);
        operation.Responses["default"] = new OpenApiResponse
        {
            Description = "Refused: google.rpc.Status with details (BadRequest, ErrorInfo, ResourceInfo, RetryInfo).",
            Content = { ["application/json"] = new OpenApiMediaType { Schema = schema } },
        };
    }
}
