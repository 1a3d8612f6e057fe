using Microsoft.OpenApi.Models;
using Reliability.Files.EventFiles;
using Reliability.Service.Uploads;
using Swashbuckle.AspNetCore.SwaggerGen;

namespace Reliability.Service.OpenApi;

/// <summary>Describes the upload of files, the one route of ours that is not made from the protos.</summary>
internal sealed class UploadOperation : IDocumentFilter
{
    public void Apply(OpenApiDocument document, DocumentFilterContext context)
    {
        var text = new OpenApiMediaType { Schema = new OpenApiSchema { Type = "string", Format = "binary" } };
        var operation = new OpenApiOperation
        {
            Tags = [new OpenApiTag { Name = "ModuleHistoryService" }],
            OperationId = "UploadEvents",
            Summary = "Records the events of a file, whatever its size.",
            Description = "The file is the body, or the part file of a form; a form may have a mapping before it.",
            Parameters =
            [
                Option("file_name", "What its owner calls the file; .jsonl, .ndjson and .json tell JSON lines."),
                Option("format", "The form of the file, where name and header do not tell: " + string.Join(", ", FileForm.All) + "."),
                Option("source", "The system that posts, for rows that name none."),
                Option("zone", "The IANA time zone of days, for rows that name none."),
                Option("complete_from", "The date from which the source lists every life, for rows that have none."),
                Option("validate_only", "true: check everything, record nothing."),
            ],
            RequestBody = new OpenApiRequestBody
            {
                Required = true,
                Content =
                {
                    ["multipart/form-data"] = new OpenApiMediaType { Schema = Form() },
                    ["text/csv"] = text,
                    ["application/x-ndjson"] = text,
                },
            },
            Responses =
            {
                ["200"] = Answer("What became of the file.", typeof(V1.UploadEventsResponse), context),
                ["default"] = Answer("Refused: google.rpc.Status with details.", typeof(Google.Rpc.Status), context),
            },
        };
        document.Paths.Add(UploadRoute.Path, new OpenApiPathItem { Operations = { [OperationType.Post] = operation } });
    }

    private static OpenApiSchema Form() => new()
    {
        Type = "object",
        Required = new HashSet<string> { "file" },
        Properties =
        {
            ["mapping"] = new OpenApiSchema { Type = "string", Description = "A mapping in JSON; before the file." },
            ["file"] = new OpenApiSchema { Type = "string", Format = "binary" },
        },
    };

    private static OpenApiParameter Option(string name, string description) => new()
    {
        Name = name,
        In = ParameterLocation.Query,
        Description = description,
        Schema = new OpenApiSchema { Type = name == "validate_only" ? "boolean" : "string" },
    };

    private static OpenApiResponse Answer(string description, Type type, DocumentFilterContext context) => new()
    {
        Description = description,
        Content =
        {
            ["application/json"] = new OpenApiMediaType { Schema = context.SchemaGenerator.GenerateSchema(type, context.SchemaRepository) },
        },
    };
}
