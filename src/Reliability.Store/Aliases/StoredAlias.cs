using System.Globalization;
using Reliability.History.Aliases;
using Reliability.Store.Revisions;

namespace Reliability.Store.Aliases;

/// <summary>An alias in force.</summary>
/// <param name="Id">Its id, made from what it is about and the alternate name.</param>
/// <param name="Kind">What it is about.</param>
/// <param name="Alternate">The name that stands for another.</param>
/// <param name="Primary">The name it stands for, which may have an alias in turn.</param>
/// <param name="CreateTime">When it was recorded, UTC.</param>
/// <param name="Revision">The state of the record with it in.</param>
public sealed record StoredAlias(
    string Id, AliasKind Kind, string Alternate, string Primary, DateTimeOffset CreateTime, Revision Revision)
{
    /// <summary>Another one when it was deleted and created again.</summary>
    public string Etag => Revision.Position.ToString(CultureInfo.InvariantCulture);
}
