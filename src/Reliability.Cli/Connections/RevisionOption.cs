using System.CommandLine;

namespace Reliability.Cli.Connections;

/// <summary>The option to wait until what was posted is taken in.</summary>
internal sealed class RevisionOption : Option<string?>
{
    /// <summary>The option.</summary>
    public RevisionOption()
        : base("--minimum-revision") => Description = "Wait until this revision, from a post, is taken in.";

    /// <summary>The revision to wait for; empty for none.</summary>
    public string Read(ParseResult parse) => parse.GetValue(this) ?? "";
}
