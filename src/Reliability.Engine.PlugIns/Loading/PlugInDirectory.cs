using Reliability.Engine.Abstractions;
using Reliability.Engine.PlugIns.Loading;

namespace Reliability.Engine.PlugIns;

/// <summary>
/// Loads plug-ins from a directory, a folder each, if the allow-list names the folder with the hash of its files. Nothing of a folder that is
/// not named is even read, and no code runs before its hash is found right. Nothing that lies there can make this fail.
/// </summary>
public static class PlugInDirectory
{
    /// <summary>Loads what may be loaded.</summary>
    /// <param name="directory">The directory.</param>
    /// <param name="allowed">Names of folders, and the hash of each as <c>sha256:</c> and 64 hexadecimal digits.</param>
    /// <returns>Plug-ins in the order of their folders' names, and those that were refused.</returns>
    public static (IReadOnlyList<OfferedPlugIn> Offered, IReadOnlyList<RefusedPlugIn> Refused) Load(
        string directory, IReadOnlyDictionary<string, string> allowed)
    {
        ArgumentNullException.ThrowIfNull(directory);
        ArgumentNullException.ThrowIfNull(allowed);
        List<OfferedPlugIn> offered = [];
        List<RefusedPlugIn> refused = [];
        string[] folders = [];
        try
        {
            folders = Directory.Exists(directory) ? [.. Directory.GetDirectories(directory).Order(StringComparer.Ordinal)] : [];
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            refused.Add(new(Path.GetFileName(directory), "The directory of plug-ins cannot be read.") { Cause = e });
        }

        // Keys of configuration do not tell capitals from small letters.
        var hashes = new Dictionary<string, string>(allowed, StringComparer.OrdinalIgnoreCase);
        foreach (var folder in folders)
        {
            var name = Path.GetFileName(folder);
            try
            {
                if (!hashes.Remove(name, out var hash))
                    throw new PlugInRefusedException("The allow-list does not name it.");
                offered.Add(Patience.Of("loading", () => LoadFolder(name, folder, hash)));
            }
            catch (PlugInRefusedException refusal)
            {
                refused.Add(new(name, refusal.Message) { Cause = refusal.InnerException });
            }
        }

        refused.AddRange(hashes.Keys.Order(StringComparer.Ordinal)
            .Select(name => new RefusedPlugIn(name, "The allow-list names it, and there is no such folder.")));
        return (offered, refused);
    }

    private static OfferedPlugIn LoadFolder(string name, string folder, string allowedHash)
    {
        PlugInFiles files;
        try
        {
            files = PlugInFiles.Read(folder);
        }
        catch (InvalidDataException e)
        {
            throw new PlugInRefusedException(e.Message, e);
        }

        if (!string.Equals(files.Hash, allowedHash.Trim(), StringComparison.OrdinalIgnoreCase))
            throw new PlugInRefusedException($"Its files have the hash {files.Hash}, which is not the one of the allow-list.");
        var entry = PlugInEntry.Find(files.Contents);
        PlugInReferences.Check(files.Contents, entry.File);
        var type = new PlugInContext(name, files.Contents).LoadFile(entry.File).GetType(entry.TypeName, throwOnError: true)!;
        if (type.GetConstructor(Type.EmptyTypes) is null)
            throw new PlugInRefusedException($"{type.Name} must have a public constructor without parameters.");
        return new(name, (ILifeModelPlugIn)Activator.CreateInstance(type)!, files.Hash);
    }
}
