namespace Reliability.Files;

/// <summary>Resource names of module models, as people write them.</summary>
public static class ModuleModelName
{
    private const string Collection = "moduleModels/";

    /// <summary>The resource name of a module model, from its id or its name; empty of nothing.</summary>
    public static string Of(string text) =>
        text.Length == 0 || text.StartsWith(Collection, StringComparison.Ordinal) ? text : Collection + text;
}
