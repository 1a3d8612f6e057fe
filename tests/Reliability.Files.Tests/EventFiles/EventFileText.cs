using System.Text;
using Reliability.Files.EventFiles;
using Reliability.Files.Times;

namespace Reliability.Files.Tests.EventFiles;

/// <summary>Opens texts as files of events.</summary>
internal static class EventFileText
{
    public static FileDefaults Defaults(string source = "quennick-maintenance", string zone = "", string? completeFrom = null) =>
        new(source, ZoneName.TryFind(zone, out ZoneName found) ? found : throw new ArgumentException(zone), completeFrom);

    public static IReadOnlyList<FileRow> Read(string name, string text, FileDefaults? defaults = null, string? form = null) =>
        Read(name, Encoding.UTF8.GetBytes(text), defaults, form);

    // Bytes in memory are read without waiting for anything.
    public static IReadOnlyList<FileRow> Read(string name, byte[] content, FileDefaults? defaults = null, string? form = null) =>
        ReadAsync(name, new MemoryStream(content), defaults ?? Defaults(), form).GetAwaiter().GetResult().Rows;

    public static (IReadOnlyList<FileRow> Rows, RefusalLayout Layout) ReadWithRefusals(string name, string text) =>
        ReadAsync(name, new MemoryStream(Encoding.UTF8.GetBytes(text)), Defaults(), form: null).GetAwaiter().GetResult();

    private static async Task<(IReadOnlyList<FileRow> Rows, RefusalLayout Layout)> ReadAsync(string name, Stream content, FileDefaults defaults, string? form)
    {
        await using var file = await FileForm.OpenAsync(content, name, form, defaults);
        return (await file.RowsAsync().ToListAsync(), file.Refusals);
    }
}
