namespace Reliability.History.Aliases;

/// <summary>
/// Which names mean the same. Each name stands for at most one other, and no chain of them leads back to itself, so that all
/// names of one thing lead to one that stands for none: the primary. Aliases correct, they do not happen: they hold for all
/// time, whatever the cut-off.
/// </summary>
public sealed class AliasTable
{
    private readonly IReadOnlyList<AliasChange> _changes;
    private readonly Dictionary<(AliasKind, string), AliasChange> _active = [];
    private readonly ILookup<(AliasKind, string), string> _alternates;
    private readonly ILookup<(AliasKind, string), AliasChange> _ever;

    private AliasTable(IEnumerable<AliasChange> changes)
    {
        _changes = [.. changes.OrderBy(change => change.Position)];
        var past = new List<AliasChange>();
        foreach (var change in _changes)
        {
            // A deletion touches the two names that the alias had joined.
            past.Add(change with { Primary = change.Primary ?? Active(change.Kind, change.Alternate)?.Primary });
            if (change.Primary is null)
                _active.Remove((change.Kind, change.Alternate));
            else
                _active[(change.Kind, change.Alternate)] = change;
        }

        _alternates = _active.Values.ToLookup(change => (change.Kind, change.Primary!), change => change.Alternate);
        _ever = past.Where(change => change.Primary is not null)
            .SelectMany(change => new[] { change.Alternate, change.Primary! }.Select(name => (Name: name, Change: change)))
            .ToLookup(end => (end.Change.Kind, end.Name), end => end.Change);
    }

    /// <summary>No aliases.</summary>
    public static AliasTable Empty { get; } = new([]);

    /// <summary>The table after these changes.</summary>
    /// <param name="changes">The changes, in any order.</param>
    public static AliasTable Of(IEnumerable<AliasChange> changes) => new(changes);

    /// <summary>The table as it stood at a time.</summary>
    /// <param name="recordTime">The time; what was recorded then or before counts.</param>
    public AliasTable AsOf(DateTimeOffset recordTime) => new(_changes.Where(change => change.RecordTime <= recordTime));

    /// <summary>Whether there never was an alias.</summary>
    public bool IsEmpty => _changes.Count == 0;

    /// <summary>The aliases in force, in order of kind and alternate name.</summary>
    public IEnumerable<AliasChange> Aliases =>
        _active.Values.OrderBy(alias => alias.Kind).ThenBy(alias => alias.Alternate, StringComparer.Ordinal);

    /// <summary>The alias in force that a name has; null when it stands for itself.</summary>
    /// <param name="kind">What it names.</param>
    /// <param name="name">The name.</param>
    public AliasChange? Active(AliasKind kind, string name) => _active.GetValueOrDefault((kind, name));

    /// <summary>The primary name of what a name means: itself when it has no alias.</summary>
    /// <param name="kind">What it names.</param>
    /// <param name="name">The name.</param>
    public string Primary(AliasKind kind, string name)
    {
        while (_active.TryGetValue((kind, name), out var alias))
            name = alias.Primary!;
        return name;
    }

    /// <summary>The primary name of what a name means; null for null.</summary>
    /// <param name="kind">What it names.</param>
    /// <param name="name">The name, if there is one.</param>
    public string? PrimaryOrNull(AliasKind kind, string? name) => name is null ? null : Primary(kind, name);

    /// <summary>All names of one thing: the primary first, the others in order.</summary>
    /// <param name="kind">What it names.</param>
    /// <param name="name">One of its names.</param>
    public IReadOnlyList<string> Names(AliasKind kind, string name)
    {
        var names = new List<string> { Primary(kind, name) };
        for (var i = 0; i < names.Count; i++)
            names.AddRange(_alternates[(kind, names[i])]);
        names.Sort(1, names.Count - 1, StringComparer.Ordinal);
        return names;
    }

    /// <summary>Whether an alias would lead in a circle back to itself.</summary>
    /// <param name="kind">What it is about.</param>
    /// <param name="alternate">The name that would stand for another.</param>
    /// <param name="primary">The name it would stand for.</param>
    public bool WouldBeCircular(AliasKind kind, string alternate, string primary) => Primary(kind, primary) == alternate;

    /// <summary>All names whose meaning a change of this name's aliases can touch: joined now or at any time.</summary>
    /// <param name="kind">What it names.</param>
    /// <param name="name">The name.</param>
    public IReadOnlyCollection<string> EverJoined(AliasKind kind, string name)
    {
        var names = new HashSet<string>(StringComparer.Ordinal) { name };
        var pending = new Stack<string>(names);
        while (pending.TryPop(out var next))
            foreach (var change in _ever[(kind, next)])
            {
                if (names.Add(change.Alternate))
                    pending.Push(change.Alternate);
                if (names.Add(change.Primary!))
                    pending.Push(change.Primary!);
            }

        return names;
    }

    /// <summary>Position of the last change, deletions included, that can have touched the meaning of a name; 0 when none has.</summary>
    /// <param name="kind">What it names.</param>
    /// <param name="name">The name.</param>
    public long ChangedAt(AliasKind kind, string name) => EverJoined(kind, name)
        .SelectMany(joined => _ever[(kind, joined)]).Select(change => change.Position).DefaultIfEmpty().Max();

    /// <summary>Position of the last alias in force among all names of one thing; 0 when it has one name.</summary>
    /// <param name="kind">What it names.</param>
    /// <param name="name">One of its names.</param>
    public long JoinedAt(AliasKind kind, string name) =>
        Names(kind, name).Select(joined => Active(kind, joined)?.Position ?? 0).Max();
}
