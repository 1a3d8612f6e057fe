using Reliability.History.Aliases;
using Reliability.Store.Records;

namespace Reliability.Store.Lives;

/// <summary>What aliases do to a record.</summary>
internal sealed class AliasesMet
{
    public AliasesMet(StoredRecord record, IReadOnlyList<Spelling> spellings)
    {
        var names = spellings.Append(new Spelling(AliasKind.Module, record.ModuleId)).ToList();
        Version = names.Max(name => record.Aliases.ChangedAt(name.Kind, name.Text));
        Position = Version == 0 ? 0 : names.Max(name => record.Aliases.JoinedAt(name.Kind, name.Text));
    }

    /// <summary>Position of the last change that touches the record, deletions included; 0 when none does.</summary>
    public long Version { get; }

    /// <summary>Position of the last alias in force that touches it; 0 when none does.</summary>
    public long Position { get; }

    /// <summary>Whether the record reads otherwise than it was typed.</summary>
    public bool AreMet => Position > 0;
}
