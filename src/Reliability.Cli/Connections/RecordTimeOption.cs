using System.CommandLine;
using Google.Protobuf.WellKnownTypes;
using Reliability.Cli.Terminals;
using Reliability.Files.Times;

namespace Reliability.Cli.Connections;

/// <summary>The option to ask the record as it stood.</summary>
internal sealed class RecordTimeOption : Option<string?>
{
    /// <summary>The option.</summary>
    public RecordTimeOption()
        : base("--as-of-record-time") => Description = "Ask the record as it stood at this time (or at the end of this day): what was recorded by then.";

    /// <summary>The instant; null for the record as it stands.</summary>
    /// <exception cref="UsageException">The time is malformed.</exception>
    public Timestamp? Read(ParseResult parse, ZoneName zone)
    {
        if (parse.GetValue(this) is not string text)
            return null;
        return zone.TryReadUntil(text, out Timestamp time, out string problem) ? time : throw new UsageException($"{Name}: {problem}.");
    }
}
