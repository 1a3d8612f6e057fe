namespace Reliability.Store.Records;

/// <summary>
/// Streams of the catalogue. Module ids have no slash, so that the streams of modules and models never meet.
/// </summary>
internal static class CatalogueStream
{
    public const string Prefix = "catalogue/";

    public static string Of(string model) => Prefix + model;

    /// <summary>The model whose stream it is; null when it is a module's.</summary>
    public static string? Model(string stream) =>
        stream.StartsWith(Prefix, StringComparison.Ordinal) ? stream[Prefix.Length..] : null;
}
