using Reliability.Cli.Files;
using Reliability.Cli.Posting;
using Reliability.Cli.Tests.Files;

namespace Reliability.Cli.Tests.Posting;

/// <summary>Opens texts as files for posting.</summary>
internal static class PostFiles
{
    public static PostDefaults Defaults(string source = "quennick-maintenance", string zone = "", string? completeFrom = null) =>
        new(source, ZoneName.TryFind(zone, out ZoneName found) ? found : throw new ArgumentException(zone), completeFrom);

    public static IReadOnlyList<PostRow> Read(TemporaryFolder folder, string name, string text, PostDefaults? defaults = null, string? form = null)
    {
        using IEventFile file = FileForm.Open(folder.Write(name, text), form, defaults ?? Defaults());
        return [.. file.Rows()];
    }
}
