using ScottPlot;
using SkiaSharp;

namespace Reliability.Plots.Sheets;

/// <summary>
/// The font of all text. The drawing library carries none and leaves text out without a word when it finds none, so one
/// is looked for in the machine's font folders and registered under a name of ours.
/// </summary>
internal static class SheetFont
{
    /// <summary>The name under which the font is registered.</summary>
    public const string Name = "Reliability sheet";

    private const string Glyphs = "ABCXYZabcxyz0123456789%,.:-()";

    private static readonly string[] PreferredFiles =
        ["DejaVuSans.ttf", "LiberationSans-Regular.ttf", "NotoSans-Regular.ttf", "Arial.ttf", "Helvetica.ttf"];

    private static readonly Lazy<string> Registered = new(() =>
    {
        string file = Find(FontFolders());
        Fonts.AddFontFile(Name, file, false, false);
        Fonts.Default = Name;
        return Name;
    });

    /// <summary>Registers the font once and gives its name.</summary>
    /// <exception cref="PlotException">The machine has no usable font.</exception>
    public static string Register() => Registered.Value;

    /// <summary>Looks for a font file in folders, the well-known ones first.</summary>
    /// <param name="folders">Folders to search, with those below them.</param>
    /// <returns>The path of the font file.</returns>
    /// <exception cref="PlotException">There is none that has Latin letters and digits.</exception>
    public static string Find(IEnumerable<string> folders)
    {
        List<string> files = [.. folders.Where(Directory.Exists).SelectMany(FontFiles)];
        IEnumerable<string> preferred = PreferredFiles.SelectMany(name =>
            files.Where(file => string.Equals(Path.GetFileName(file), name, StringComparison.OrdinalIgnoreCase)));
        return preferred.Concat(files.Order(StringComparer.Ordinal)).FirstOrDefault(CanWrite)
            ?? throw new PlotException(
                "No font was found on this machine, so the plot would have no text. Install one "
                + "(on Debian and Ubuntu: apt-get install fonts-dejavu-core) and try again.");
    }

    private static IEnumerable<string> FontFiles(string folder) =>
        Directory.EnumerateFiles(folder, "*", new EnumerationOptions
        {
            RecurseSubdirectories = true,
            IgnoreInaccessible = true,
        }).Where(file => Path.GetExtension(file).ToUpperInvariant() is ".TTF" or ".OTF");

    private static bool CanWrite(string file)
    {
        using SKTypeface? typeface = SKTypeface.FromFile(file);
        return typeface is not null && typeface.ContainsGlyphs(Glyphs);
    }

    private static IEnumerable<string> FontFolders()
    {
        string home = Environment.GetFolderPath(Environment.SpecialFolder.UserProfile);
        string data = Environment.GetEnvironmentVariable("XDG_DATA_HOME") ?? Path.Combine(home, ".local", "share");
        return
        [
            Path.Combine(data, "fonts"),
            Path.Combine(home, ".fonts"),
            "/usr/local/share/fonts",
            "/usr/share/fonts",
            "/System/Library/Fonts",
            "/Library/Fonts",
            Environment.GetFolderPath(Environment.SpecialFolder.Fonts),
        ];
    }
}
