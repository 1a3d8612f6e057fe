namespace Reliability.Service.Errors;

/// <summary>
/// Values of <c>ErrorInfo.reason</c> besides the engine's own reasons for "not estimable". Listed for callers in docs/errors.md.
/// </summary>
internal static class ErrorReasons
{
    /// <summary>Domain of every <c>ErrorInfo</c>.</summary>
    public const string Domain = "reliability";

    /// <summary>One or more fields break a rule; the violations name them.</summary>
    public const string InvalidFields = "INVALID_FIELDS";

    /// <summary>The request is larger than the service takes.</summary>
    public const string LimitExceeded = "LIMIT_EXCEEDED";

    /// <summary>The JSON body cannot be read.</summary>
    public const string MalformedJson = "MALFORMED_JSON";

    /// <summary>The bytes of a gRPC message are no message of the method's type.</summary>
    public const string UnreadableMessage = "UNREADABLE_MESSAGE";

    /// <summary>There is no such resource.</summary>
    public const string NotFound = "RESOURCE_NOT_FOUND";

    /// <summary>There is no such route.</summary>
    public const string RouteNotFound = "ROUTE_NOT_FOUND";

    /// <summary>The route does not take this HTTP method.</summary>
    public const string MethodNotAllowed = "METHOD_NOT_ALLOWED";

    /// <summary>A resource with this name is there already.</summary>
    public const string AlreadyExists = "RESOURCE_EXISTS";

    /// <summary>The event id was used before, with another body.</summary>
    public const string EventIdReused = "EVENT_ID_REUSED";

    /// <summary>The alias would lead in a circle back to itself.</summary>
    public const string AliasCircular = "ALIAS_CIRCULAR";

    /// <summary>More names would mean one thing than are kept together.</summary>
    public const string AliasTooLarge = "ALIAS_TOO_LARGE";

    /// <summary>The resource was changed since the caller read it.</summary>
    public const string EtagMismatch = "ETAG_MISMATCH";

    /// <summary>The model or method does not do what was asked, whatever the data.</summary>
    public const string UnsupportedOption = "UNSUPPORTED_OPTION";

    /// <summary>Too much is being computed at once; worth another try.</summary>
    public const string Busy = "BUSY";

    /// <summary>The store does not answer; worth another try.</summary>
    public const string StoreUnavailable = "STORE_UNAVAILABLE";

    /// <summary>The database has no space left to write; worth another try once it has.</summary>
    public const string StoreFull = "STORE_FULL";

    /// <summary>Lives are being rebuilt already.</summary>
    public const string RebuildRunning = "REBUILD_RUNNING";

    /// <summary>The service ends, and with it the stream; worth another try.</summary>
    public const string Stopping = "SERVICE_STOPPING";

    /// <summary>The revision asked for is not taken in yet; worth another try.</summary>
    public const string RevisionNotReached = "REVISION_NOT_REACHED";

    /// <summary>The record as of that instant can still grow; worth another try.</summary>
    public const string RecordTimeNotSettled = "RECORD_TIME_NOT_SETTLED";

    /// <summary>The deadline passed before the answer was ready.</summary>
    public const string DeadlineExceeded = "DEADLINE_EXCEEDED";

    /// <summary>The caller gave up.</summary>
    public const string Cancelled = "CANCELLED";

    /// <summary>A file, or its mapping, cannot be used as a whole.</summary>
    public const string FileUnusable = "FILE_UNUSABLE";

    /// <summary>The sender of a file sent nothing of it for too long.</summary>
    public const string UploadStalled = "UPLOAD_STALLED";

    /// <summary>A row of a file cannot be read.</summary>
    public const string UnreadableRow = "UNREADABLE_ROW";

    /// <summary>A plugged-in life model broke its contract; the incident id stands in the log.</summary>
    public const string LifeModelFailed = "LIFE_MODEL_FAILED";

    /// <summary>Our fault; the incident id stands in the log.</summary>
    public const string Internal = "INTERNAL";
}
