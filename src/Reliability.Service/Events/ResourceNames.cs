using System.Buffers;

namespace Reliability.Service.Events;

/// <summary>Names of resources: a collection and an id.</summary>
internal static class ResourceNames
{
    private const string Modules = "modules/", ModuleModels = "moduleModels/", Uploads = "uploads/", Aliases = "aliases/";

    private static readonly SearchValues<char> IdLetters = SearchValues.Create("abcdefghijklmnopqrstuvwxyz0123456789-");

    public const string ModuleModelRule =
        "must be moduleModels/{module_model}, where the id has 1 to 63 of a-z, 0-9 and hyphen";

    public const string ModuleRule = "must be modules/{module}, where the id has 1 to 63 of a-z, 0-9 and hyphen";

    /// <summary>Kinds of resource for <c>ResourceInfo</c>.</summary>
    public const string ModuleType = "reliability/Module", ModuleModelType = "reliability/ModuleModel",
        UploadType = "reliability/Upload", AliasType = "reliability/Alias";

    public static string Module(string id) => Modules + id;

    public static string ModuleModel(string? id) => string.IsNullOrEmpty(id) ? string.Empty : ModuleModels + id;

    public static string Upload(Guid id) => Uploads + id.ToString("N");

    /// <summary>The id of a well-formed name of an upload.</summary>
    public static Guid UploadId(string name) => Guid.ParseExact(Id(name), "N");

    public static string Alias(string id) => Aliases + id;

    public static bool IsModule(string name) => IsIn(Modules, name);

    public static bool IsModuleModel(string name) => IsIn(ModuleModels, name);

    /// <summary>The id of a well-formed name.</summary>
    public static string Id(string name) => name[(name.IndexOf('/', StringComparison.Ordinal) + 1)..];

    // Asked for each event: a regular expression would cost as much as the rest of the check.
    private static bool IsIn(string collection, string name) =>
        name.StartsWith(collection, StringComparison.Ordinal)
        && name.AsSpan(collection.Length) is { Length: >= 1 and <= 63 } id
        && !id.ContainsAnyExcept(IdLetters);
}
