using Reliability.V1;

namespace Reliability.Cli.Modules;

/// <summary>The kind of an event in words.</summary>
internal static class EventKind
{
    /// <summary>The words: "Run hours read".</summary>
    public static string Of(ModuleEvent posted)
    {
        string name = posted.EventCase.ToString();
        return string.Concat(name.Select((c, i) => i > 0 && char.IsUpper(c) ? " " + char.ToLowerInvariant(c) : c.ToString()));
    }
}
