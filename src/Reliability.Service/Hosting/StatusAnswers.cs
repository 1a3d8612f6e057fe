using Google.Rpc;
using Reliability.Service.Errors;
using Reliability.Service.Json;

namespace Reliability.Service.Hosting;

/// <summary>Answers under /v1 have one form: what no route takes is told as <c>google.rpc.Status</c> too.</summary>
internal static class StatusAnswers
{
    public static void UseStatusAnswers(this WebApplication app)
    {
        app.UseStatusCodePages(async pages =>
        {
            var context = pages.HttpContext;
            if (!context.Request.Path.StartsWithSegments("/v1", StringComparison.Ordinal))
                return;
            var status = context.Response.StatusCode switch
            {
                StatusCodes.Status404NotFound => Refusals.Status(
                    Code.NotFound, ErrorReasons.RouteNotFound,
                    "There is no such route. /openapi/v1.json lists the routes."),
                StatusCodes.Status405MethodNotAllowed => Refusals.Status(
                    Code.Unimplemented, ErrorReasons.MethodNotAllowed,
                    "The route does not take this HTTP method. /openapi/v1.json lists the routes."),
                _ => null,
            };
            if (status is not null)
                await StatusJson.WriteAsync(context, status, context.Response.StatusCode);
        });
    }
}
