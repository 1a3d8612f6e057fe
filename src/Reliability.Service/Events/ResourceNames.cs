using System.Text.RegularExpressions;

namespace Reliability.Service.Events;

/// <summary>Names of resources: a collection and an id.</summary>
internal static partial class ResourceNames
{
    private const string Modules = "modules/", ModuleModels = "moduleModels/";

    public const string ModuleModelRule =
        "must be moduleModels/{module_model}, where the id has 1 to 63 of a-z, 0-9 and hyphen";

    public const string ModuleRule = "must be modules/{module}, where the id has 1 to 63 of a-z, 0-9 and hyphen";

    /// <summary>Kinds of resource for <c>ResourceInfo</c>.</summary>
    public const string ModuleType = "reliability/Module", ModuleModelType = "reliability/ModuleModel";

    public static string Module(string id) => Modules + id;

    public static string ModuleModel(string? id) => string.IsNullOrEmpty(id) ? string.Empty : ModuleModels + id;

    public static bool IsModule(string name) => Shape().Match(name) is { Success: true } match && match.Groups[1].Value == "modules";

    public static bool IsModuleModel(string name) =>
        Shape().Match(name) is { Success: true } match && match.Groups[1].Value == "moduleModels";

    /// <summary>The id of a well-formed name.</summary>
    public static string Id(string name) => name[(name.IndexOf('/', StringComparison.Ordinal) + 1)..];

    [GeneratedRegex(@"\A(modules|moduleModels)/[a-z0-9-]{1,63}\z", RegexOptions.CultureInvariant)]
    private static partial Regex Shape();
}
