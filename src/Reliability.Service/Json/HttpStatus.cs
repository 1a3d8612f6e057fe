using Google.Rpc;

namespace Reliability.Service.Json;

/// <summary>The HTTP status of a <c>google.rpc.Code</c>, as google/rpc/code.proto maps them.</summary>
internal static class HttpStatus
{
    public static int Of(Code code) => code switch
    {
        Code.Ok => 200,
        Code.InvalidArgument or Code.FailedPrecondition or Code.OutOfRange => 400,
        Code.Unauthenticated => 401,
        Code.PermissionDenied => 403,
        Code.NotFound => 404,
        Code.AlreadyExists or Code.Aborted => 409,
        Code.ResourceExhausted => 429,
        Code.Cancelled => 499,
        Code.Unimplemented => 501,
        Code.Unavailable => 503,
        Code.DeadlineExceeded => 504,
        _ => 500,
    };
}
