using System.Reflection;
using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Catalog;

/// <summary>The version that answers carry.</summary>
internal static class EngineVersion
{
    public static string Text { get; } =
        typeof(EngineVersion).Assembly.GetCustomAttribute<AssemblyInformationalVersionAttribute>()?.InformationalVersion
            .Split('+')[0]
        ?? typeof(EngineVersion).Assembly.GetName().Version?.ToString(3)
        ?? "0";

    /// <summary>Where our own life models come from.</summary>
    public static PlugInIdentity BuiltIn { get; } = new("built-in", Text, "the engine's own", string.Empty);
}
