using System.Reflection.Metadata;
using System.Reflection.PortableExecutable;

namespace Reliability.Engine.PlugIns.Loading;

/// <summary>
/// What the assemblies of a plug-in refer to, read from their metadata before any code runs: a library that is missing would otherwise show
/// at the first question that needs it.
/// </summary>
internal static class PlugInReferences
{
    /// <summary>Refuses a plug-in of which an assembly, or one that it refers to, needs another that is not there.</summary>
    /// <param name="files">Contents by path below the folder.</param>
    /// <param name="entry">The assembly that is loaded first.</param>
    /// <exception cref="PlugInRefusedException">One is missing; the message names both.</exception>
    public static void Check(IReadOnlyDictionary<string, byte[]> files, string entry)
    {
        var waiting = new Queue<string>([entry]);
        var seen = new HashSet<string>(StringComparer.Ordinal) { entry };
        while (waiting.TryDequeue(out var file))
        {
            foreach (var name in ReferencesOf(files[file]))
            {
                if (PlugInContext.IsProvided(name))
                    continue;
                if (!files.ContainsKey(name + ".dll"))
                    throw new PlugInRefusedException($"{file} needs {PlugInContext.Missing(name)}");
                if (seen.Add(name + ".dll"))
                    waiting.Enqueue(name + ".dll");
            }
        }
    }

    private static List<string> ReferencesOf(byte[] assembly)
    {
        using var image = new PEReader(new MemoryStream(assembly, writable: false));
        if (!image.HasMetadata)
            return [];
        var metadata = image.GetMetadataReader();
        return [.. metadata.AssemblyReferences.Select(handle => metadata.GetString(metadata.GetAssemblyReference(handle).Name))];
    }
}
