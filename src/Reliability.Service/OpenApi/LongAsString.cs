using Microsoft.OpenApi.Models;
using Swashbuckle.AspNetCore.SwaggerGen;

namespace Reliability.Service.OpenApi;

/// <summary>Whole numbers of 64 bits are strings in JSON, and numbers must be finite: the document says so.</summary>
internal sealed class LongAsString : ISchemaFilter
{
    public void Apply(OpenApiSchema schema, SchemaFilterContext context)
    {
        if (context.Type == typeof(long) || context.Type == typeof(ulong) || context.Type == typeof(long?)
            || context.Type == typeof(ulong?))
        {
            schema.Type = "string";
            schema.Format = "int64";
        }
    }
}
