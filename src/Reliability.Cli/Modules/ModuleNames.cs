using Reliability.Cli.Terminals;
using Reliability.V1;

namespace Reliability.Cli.Modules;

/// <summary>Modules as people name them: by id, or by an identifier such as serial:QX-1042.</summary>
internal static class ModuleNames
{
    /// <summary>The resource name of a module; an identifier is looked up.</summary>
    /// <exception cref="UsageException">No module has the identifier, or several have.</exception>
    public static async Task<string> ResolveAsync(
        ModuleHistoryService.ModuleHistoryServiceClient history, string text, string revision, CancellationToken cancellation)
    {
        if (Filter(text) is not string filter)
            return text.StartsWith("modules/", StringComparison.Ordinal) ? text : "modules/" + text;
        ListModulesResponse found = await history.ListModulesAsync(
            new ListModulesRequest { Filter = filter, PageSize = 2, MinimumRevision = revision }, cancellationToken: cancellation).ConfigureAwait(false);
        return found.Modules.Count switch
        {
            1 => found.Modules[0].Name,
            0 => throw new UsageException($"No module has the identifier {text}."),
            _ => throw new UsageException($"Several modules have the identifier {text}: {string.Join(", ", found.Modules.Select(module => module.Name))}, ..."),
        };
    }

    /// <summary>The filter that finds a module by an identifier; null when the text is not one.</summary>
    internal static string? Filter(string text)
    {
        int sign = text.IndexOf(':', StringComparison.Ordinal);
        string? field = sign < 0 ? null : text[..sign] switch
        {
            "serial" => "serial_number",
            "udi" => "udi",
            "asset" => "asset_number",
            _ => null,
        };
        return field is null ? null : $"{field} = \"{text[(sign + 1)..].Replace("\\", "\\\\", StringComparison.Ordinal).Replace("\"", "\\\"", StringComparison.Ordinal)}\"";
    }
}
