using Google.Rpc;
using Grpc.Core;
using RpcStatus = Google.Rpc.Status;

namespace Reliability.Service.Errors;

/// <summary>
/// Collects what is wrong in a request, each with the path of the field in the words of the protos
/// (<c>events[3].installed.reading_hours</c>), on the gRPC and on the JSON side alike.
/// </summary>
internal sealed class Violations
{
    /// <summary>More violations than this are counted, not listed: an answer stays small however bad the request.</summary>
    public const int MaxListed = 100;

    private readonly List<BadRequest.Types.FieldViolation> _listed = [];
    private int _count;
    private bool _limitExceeded;

    /// <summary>How many there are, listed or not.</summary>
    public int Count => _count;

    /// <summary>Whether there is none.</summary>
    public bool IsEmpty => _count == 0;

    /// <summary>Adds a violation.</summary>
    public void Add(string field, string rule)
    {
        _count++;
        if (_listed.Count < MaxListed)
            _listed.Add(new BadRequest.Types.FieldViolation { Field = field, Description = rule });
    }

    /// <summary>Adds the violation of a documented limit, which makes the whole status RESOURCE_EXHAUSTED.</summary>
    public void AddLimit(string field, string rule)
    {
        _limitExceeded = true;
        Add(field, rule);
    }

    /// <summary>The status that tells of them all.</summary>
    public RpcStatus ToStatus() => ToStatus(ErrorReasons.InvalidFields);

    /// <summary>The same with a reason of its own.</summary>
    public RpcStatus ToStatus(string reason)
    {
        var first = _listed[0];
        var summary = first.Field.Length == 0 ? first.Description : $"{first.Field}: {first.Description}";
        if (_count > 1)
            summary += $" (and {_count - 1} more)";
        var badRequest = new BadRequest();
        badRequest.FieldViolations.AddRange(_listed);
        return _limitExceeded
            ? Refusals.Status(Code.ResourceExhausted, ErrorReasons.LimitExceeded, summary, badRequest)
            : Refusals.Status(Code.InvalidArgument, reason, summary, badRequest);
    }

    /// <summary>Refuses the request when anything is wrong.</summary>
    /// <exception cref="RpcException">There are violations.</exception>
    public void ThrowIfAny()
    {
        if (!IsEmpty)
            throw ToStatus().ToRpcException();
    }
}
