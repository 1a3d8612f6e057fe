namespace Reliability.Plots.Sheets;

/// <summary>The kinds of file a sheet can be saved as.</summary>
public static class SheetFile
{
    /// <summary>Checks that a file's extension is one a sheet can be saved as.</summary>
    /// <param name="file">Path of the file to be.</param>
    /// <exception cref="PlotException">The extension is neither .png nor .svg.</exception>
    public static void Check(string file)
    {
        ArgumentNullException.ThrowIfNull(file);
        if (Path.GetExtension(file).ToUpperInvariant() is not (".PNG" or ".SVG"))
            throw new PlotException($"A plot is saved as .png or .svg; {Path.GetFileName(file)} is neither.");
    }

    internal static bool IsVector(string file) =>
        string.Equals(Path.GetExtension(file), ".svg", StringComparison.OrdinalIgnoreCase);
}
