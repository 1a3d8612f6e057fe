using System.Reflection;
using System.Runtime.InteropServices;
using System.Runtime.Loader;
using Reliability.Engine.Abstractions;

namespace Reliability.Engine.PlugIns.Loading;

/// <summary>
/// The load context of one plug-in: its own assemblies, from the bytes that were hashed; the contract of the engine; the base library; and
/// nothing else of what the service has loaded.
/// </summary>
internal sealed class PlugInContext(string name, IReadOnlyDictionary<string, byte[]> files) : AssemblyLoadContext(name)
{
    private static readonly string Contract = typeof(ILifeModelPlugIn).Assembly.GetName().Name!;

    /// <summary>Whether an assembly need not be in the plug-in's folder: the contract, and the base library.</summary>
    /// <param name="name">Its simple name.</param>
    public static bool IsProvided(string name) =>
        name == Contract || File.Exists(Path.Combine(RuntimeEnvironment.GetRuntimeDirectory(), name + ".dll"));

    /// <summary>What to say of one that is nowhere.</summary>
    /// <param name="name">Its simple name.</param>
    public static string Missing(string name) => $"{name}.dll, which is neither in the plug-in's folder nor of the base library.";

    /// <summary>Loads one of the plug-in's own assemblies.</summary>
    /// <param name="file">Its path below the folder.</param>
    public Assembly LoadFile(string file) => LoadFromStream(new MemoryStream(files[file], writable: false));

    protected override Assembly? Load(AssemblyName assemblyName)
    {
        // From the default context, whatever the plug-in brings along: types of the contract must be the engine's own.
        if (assemblyName.Name == Contract)
            return null;
        var file = (string.IsNullOrEmpty(assemblyName.CultureName) ? "" : assemblyName.CultureName + "/") + assemblyName.Name + ".dll";
        if (files.ContainsKey(file))
            return LoadFile(file);
        if (IsProvided(assemblyName.Name!) || assemblyName.CultureName is { Length: > 0 })
            return null;
        throw new FileNotFoundException(Missing(assemblyName.Name!));
    }

    protected override nint LoadUnmanagedDll(string unmanagedDllName) => files.Keys.Any(file => IsLibrary(Path.GetFileName(file), unmanagedDllName))
        ? throw new DllNotFoundException($"{unmanagedDllName} is machine code, which is not loaded from a plug-in's folder; run such a plug-in out of process.")
        : base.LoadUnmanagedDll(unmanagedDllName);

    /// <summary>Whether a file is what the runtime would look for under this name.</summary>
    private static bool IsLibrary(string file, string name) =>
        new[] { name, "lib" + name }.SelectMany(stem => new[] { stem, stem + ".so", stem + ".dylib", stem + ".dll" })
            .Contains(file, StringComparer.OrdinalIgnoreCase);
}
