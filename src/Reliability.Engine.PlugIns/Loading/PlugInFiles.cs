using System.Security.Cryptography;
using System.Text;

namespace Reliability.Engine.PlugIns.Loading;

/// <summary>
/// The files of a plug-in's folder, read into memory once, and their hash. What is hashed is what is loaded: nothing is read a second time.
/// The hash is SHA-256 of the lines that <c>sha256sum</c> prints of every file, in the byte order of their names:
/// <c>find . -type f -printf '%P\0' | LC_ALL=C sort -z | xargs -0 sha256sum | sha256sum</c> in the folder.
/// This file is compiled into the command line too, which prints the hash and knows no engine.
/// </summary>
internal sealed class PlugInFiles
{
    private const long MostBytes = 256L * 1024 * 1024;
    private const int MostFiles = 2000;

    private PlugInFiles(IReadOnlyDictionary<string, byte[]> contents, string hash) => (Contents, Hash) = (contents, hash);

    /// <summary>Contents by path below the folder, with slashes.</summary>
    public IReadOnlyDictionary<string, byte[]> Contents { get; }

    /// <summary><c>sha256:</c> and 64 hexadecimal digits, small letters.</summary>
    public string Hash { get; }

    /// <summary>Reads a folder with all its folders.</summary>
    /// <param name="folder">Path of the folder.</param>
    /// <exception cref="InvalidDataException">It holds what a plug-in cannot: links, odd names, too much, or nothing.</exception>
    /// <exception cref="IOException">It cannot be read.</exception>
    /// <exception cref="UnauthorizedAccessException">It may not be read.</exception>
    public static PlugInFiles Read(string folder)
    {
        var contents = new SortedDictionary<string, byte[]>(StringComparer.Ordinal);
        long bytes = 0;
        Gather(new DirectoryInfo(folder), string.Empty, contents, ref bytes);
        if (contents.Count == 0)
            throw new InvalidDataException("The folder is empty.");
        var lines = new StringBuilder();
        foreach (var (name, content) in contents)
            lines.Append(Convert.ToHexStringLower(SHA256.HashData(content))).Append("  ").Append(name).Append('\n');
        return new(contents, "sha256:" + Convert.ToHexStringLower(SHA256.HashData(Encoding.ASCII.GetBytes(lines.ToString()))));
    }

    private static void Gather(DirectoryInfo folder, string prefix, SortedDictionary<string, byte[]> contents, ref long bytes)
    {
        foreach (var entry in folder.EnumerateFileSystemInfos("*", new EnumerationOptions { AttributesToSkip = 0 }))
        {
            // Names that sort and print alike everywhere.
            var name = prefix + entry.Name;
            if (!entry.Name.All(c => c is > ' ' and < (char)127 and not '\\'))
                throw new InvalidDataException($"The name of {name} must be of printable ASCII characters without spaces and backslashes.");
            if (entry.LinkTarget is not null || entry.Attributes.HasFlag(FileAttributes.ReparsePoint))
                throw new InvalidDataException($"{name} is a link; a plug-in's folder holds its files themselves.");
            if (entry is DirectoryInfo inner)
            {
                Gather(inner, name + "/", contents, ref bytes);
                continue;
            }

            var content = File.ReadAllBytes(entry.FullName);
            bytes += content.Length;
            contents.Add(name, content);
            if (contents.Count > MostFiles || bytes > MostBytes)
                throw new InvalidDataException($"The folder has more than {MostFiles} files or {MostBytes >> 20} MiB.");
        }
    }
}
