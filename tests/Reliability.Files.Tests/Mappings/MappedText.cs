using System.Text;
using Reliability.Files.EventFiles;
using Reliability.Files.Mappings;
using Reliability.Files.Tests.EventFiles;

namespace Reliability.Files.Tests.Mappings;

/// <summary>Reads texts through mappings.</summary>
internal static class MappedText
{
    public static (IReadOnlyList<FileRow> Rows, MappingTally Tally, RefusalLayout Layout) Read(
        string mapping, string text, FileDefaults? defaults = null, Encoding? encoding = null) =>
        ReadAsync(mapping, new MemoryStream((encoding ?? Encoding.UTF8).GetBytes(text)), defaults ?? EventFileText.Defaults()).GetAwaiter().GetResult();

    private static async Task<(IReadOnlyList<FileRow>, MappingTally, RefusalLayout)> ReadAsync(string mapping, Stream content, FileDefaults defaults)
    {
        await using IEventFile file = await FileForm.OpenAsync(
            content, "export.csv", null, defaults, Mapping.Read(Encoding.UTF8.GetBytes(mapping), "mapping.json"));
        List<FileRow> rows = await file.RowsAsync().ToListAsync();
        return (rows, file.Mapping!, file.Refusals);
    }
}
