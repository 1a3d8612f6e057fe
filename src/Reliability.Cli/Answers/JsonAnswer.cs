using Google.Protobuf;
using Google.Protobuf.Reflection;
using Google.Rpc;

namespace Reliability.Cli.Answers;

/// <summary>
/// Answers as JSON, as the service's HTTP side gives them: protobuf's mapping, whole numbers of 64 bits as strings,
/// default values written, absent numbers left out.
/// </summary>
internal static class JsonAnswer
{
    private static readonly JsonFormatter.Settings Settings = JsonFormatter.Settings.Default
        .WithFormatDefaultValues(true)
        .WithTypeRegistry(TypeRegistry.FromMessages(
            BadRequest.Descriptor, ErrorInfo.Descriptor, ResourceInfo.Descriptor, RetryInfo.Descriptor));

    private static readonly JsonFormatter OnOneLine = new(Settings);
    private static readonly JsonFormatter Indented = new(Settings.WithIndentation());

    /// <summary>An answer over several lines.</summary>
    public static string Of(IMessage answer) => Indented.Format(answer);

    /// <summary>An answer on one line, for streams of them.</summary>
    public static string Line(IMessage answer) => OnOneLine.Format(answer);
}
