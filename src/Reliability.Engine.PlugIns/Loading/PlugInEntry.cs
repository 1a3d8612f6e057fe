using System.Reflection;
using System.Reflection.Metadata;
using System.Reflection.PortableExecutable;
using Reliability.Engine.Abstractions;

namespace Reliability.Engine.PlugIns.Loading;

/// <summary>The class that a plug-in enters the engine by, found in the metadata of its assemblies before any of its code runs.</summary>
/// <param name="File">The assembly, a file of the folder itself.</param>
/// <param name="TypeName">Full name of the class.</param>
internal sealed record PlugInEntry(string File, string TypeName)
{
    /// <summary>Finds the one class, and refuses what was built for another version of the contract.</summary>
    /// <exception cref="PlugInRefusedException">There is none, there are several, or the version is another.</exception>
    public static PlugInEntry Find(IReadOnlyDictionary<string, byte[]> files)
    {
        var found = new List<PlugInEntry>();
        foreach (var (file, content) in files.Where(f => f.Key.EndsWith(".dll", StringComparison.OrdinalIgnoreCase) && !f.Key.Contains('/')))
        {
            try
            {
                using var image = new PEReader(new MemoryStream(content, writable: false));
                if (image.HasMetadata)
                    Look(file, image.GetMetadataReader(), found);
            }
            catch (BadImageFormatException)
            {
                // A library of machine code, or no library at all: no assembly to look into.
            }
        }

        return found.Count == 1
            ? found[0]
            : throw new PlugInRefusedException(
                $"Its assemblies must hold exactly one public class that implements {nameof(ILifeModelPlugIn)}; they hold {found.Count}.");
    }

    private static void Look(string file, MetadataReader assembly, List<PlugInEntry> found)
    {
        var contract = typeof(ILifeModelPlugIn).Assembly.GetName().Name;
        foreach (var reference in assembly.AssemblyReferences.Select(assembly.GetAssemblyReference))
        {
            if (assembly.GetString(reference.Name) == contract && ContractVersion.Refusal(reference.Version) is { } refusal)
                throw new PlugInRefusedException(refusal);
        }

        foreach (var handle in assembly.TypeDefinitions)
        {
            var type = assembly.GetTypeDefinition(handle);
            var isPublicClass = (type.Attributes & TypeAttributes.VisibilityMask) == TypeAttributes.Public
                && (type.Attributes & (TypeAttributes.Abstract | TypeAttributes.Interface)) == 0;
            if (isPublicClass && type.GetInterfaceImplementations().Any(i => IsPlugIn(assembly, assembly.GetInterfaceImplementation(i).Interface)))
            {
                var space = assembly.GetString(type.Namespace);
                found.Add(new(file, space.Length == 0 ? assembly.GetString(type.Name) : $"{space}.{assembly.GetString(type.Name)}"));
            }
        }
    }

    private static bool IsPlugIn(MetadataReader assembly, EntityHandle implemented)
    {
        if (implemented.Kind != HandleKind.TypeReference)
            return false;
        var type = assembly.GetTypeReference((TypeReferenceHandle)implemented);
        return assembly.GetString(type.Name) == nameof(ILifeModelPlugIn)
            && assembly.GetString(type.Namespace) == typeof(ILifeModelPlugIn).Namespace;
    }
}
