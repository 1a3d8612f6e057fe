using Google.Protobuf.WellKnownTypes;
using Reliability.History.Aliases;
using Reliability.Service.Events;
using Reliability.Store.Aliases;

namespace Reliability.Service.Aliases;

/// <summary>Aliases of the wire and of the record.</summary>
internal static class AliasMapping
{
    /// <summary>A checked alias: ids of modules without their collection.</summary>
    public static AliasCreatedV1 FromWire(V1.Alias said) => new()
    {
        Kind = Words.AliasKinds.ToHistory(said.Kind),
        Alternate = said.Kind == V1.AliasKind.Module ? ResourceNames.Id(said.Alternate) : said.Alternate,
        Primary = said.Kind == V1.AliasKind.Module ? ResourceNames.Id(said.Primary) : said.Primary,
    };

    public static V1.Alias ToWire(StoredAlias alias) => new()
    {
        Name = ResourceNames.Alias(alias.Id),
        Kind = Words.AliasKinds.ToWire(alias.Kind),
        Alternate = Name(alias.Kind, alias.Alternate),
        Primary = Name(alias.Kind, alias.Primary),
        CreateTime = Timestamp.FromDateTimeOffset(alias.CreateTime),
        Etag = alias.Etag,
        Revision = alias.Revision.ToString(),
    };

    /// <summary>An alias that passed every check and was not created.</summary>
    public static V1.Alias ToWire(V1.Alias said) => new() { Kind = said.Kind, Alternate = said.Alternate, Primary = said.Primary };

    private static string Name(AliasKind kind, string name) => kind == AliasKind.Module ? ResourceNames.Module(name) : name;
}
