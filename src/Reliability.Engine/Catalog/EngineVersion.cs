using System.Reflection;

namespace Reliability.Engine.Catalog;

/// <summary>The version that answers carry.</summary>
internal static class EngineVersion
{
    public static string Text { get; } =
        typeof(EngineVersion).Assembly.GetCustomAttribute<AssemblyInformationalVersionAttribute>()?.InformationalVersion
            .Split('+')[0]
        ?? typeof(EngineVersion).Assembly.GetName().Version?.ToString(3)
        ?? "0";
}
