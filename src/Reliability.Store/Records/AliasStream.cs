namespace Reliability.Store.Records;

/// <summary>Streams of aliases: one for each name that stands, or stood, for another.</summary>
internal static class AliasStream
{
    public const string Prefix = "alias/";

    /// <summary>Name in the log of an alias that was created.</summary>
    public const string CreatedName = "alias_created_v1";

    /// <summary>Name in the log of an alias that was deleted.</summary>
    public const string DeletedName = "alias_deleted_v1";

    public static string Of(string alias) => Prefix + alias;

    /// <summary>The alias whose stream it is; null when it is another's.</summary>
    public static string? Alias(string stream) =>
        stream.StartsWith(Prefix, StringComparison.Ordinal) ? stream[Prefix.Length..] : null;
}
