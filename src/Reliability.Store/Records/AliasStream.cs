namespace Reliability.Store.Records;

/// <summary>Streams of aliases: one for each name that stands, or stood, for another.</summary>
internal static class AliasStream
{
    public const string Prefix = "alias/";

    public static string Of(string alias) => Prefix + alias;

    /// <summary>The alias whose stream it is; null when it is another's.</summary>
    public static string? Alias(string stream) =>
        stream.StartsWith(Prefix, StringComparison.Ordinal) ? stream[Prefix.Length..] : null;
}
