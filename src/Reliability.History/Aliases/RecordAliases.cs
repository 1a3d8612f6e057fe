using Reliability.History.Catalogue;
using Reliability.History.Events;

namespace Reliability.History.Aliases;

/// <summary>
/// Reads records under aliases: what was recorded of several ids as one module's, and spellings as those they stand for. The
/// records themselves keep what was typed.
/// </summary>
public static class RecordAliases
{
    /// <summary>The spellings that events hold, each once.</summary>
    /// <param name="events">The events.</param>
    public static IReadOnlyList<Spelling> SpellingsIn(IEnumerable<RecordedEvent> events)
    {
        var found = new HashSet<Spelling>();
        foreach (var recorded in events)
        {
            Respelt(recorded.Told().Body, (kind, text) =>
            {
                if (text is not null)
                    found.Add(new(kind, text));
                return text;
            });
        }

        return [.. found.OrderBy(spelling => spelling.Kind).ThenBy(spelling => spelling.Text, StringComparer.Ordinal)];
    }

    /// <summary>An event as it is to be read of a module: under the module's id, with primary spellings.</summary>
    /// <param name="recorded">The event.</param>
    /// <param name="module">The module's primary id. Events of a host's meter keep the host's.</param>
    /// <param name="aliases">Which names mean the same.</param>
    public static RecordedEvent Read(RecordedEvent recorded, string module, AliasTable aliases) => recorded with
    {
        ModuleId = HostRecord.Is(recorded.ModuleId) ? recorded.ModuleId : module,
        Body = Respelt(recorded.Body, aliases.PrimaryOrNull),
    };

    /// <summary>A module model as it is to be read: what it says of a refurbisher holds for the primary spelling.</summary>
    /// <param name="model">The model.</param>
    /// <param name="aliases">Which names mean the same.</param>
    public static ModuleModel Read(ModuleModel model, AliasTable aliases) => model with
    {
        Versions =
        [
            .. model.Versions.Select(version => version with
            {
                RatedLives =
                [
                    .. version.RatedLives.Select(rated => rated with
                    {
                        Refurbisher = aliases.PrimaryOrNull(AliasKind.Refurbisher, rated.Refurbisher),
                    }),
                ],
            }),
        ],
    };

    private static EventBody Respelt(EventBody body, Func<AliasKind, string?, string?> spell) => body switch
    {
        InstalledV1 said => said with
        {
            Site = spell(AliasKind.Site, said.Site),
            HostModel = spell(AliasKind.HostModel, said.HostModel),
        },
        RepairedV1 said => said with { By = spell(AliasKind.Refurbisher, said.By) },
        RefurbishedV1 said => said with { By = spell(AliasKind.Refurbisher, said.By) },
        RegisteredV1 said => said with { Condition = Respelt(said.Condition, spell) },
        LifeReportedV1 said => said with
        {
            Site = spell(AliasKind.Site, said.Site),
            HostModel = spell(AliasKind.HostModel, said.HostModel),
            Condition = Respelt(said.Condition, spell),
        },
        ReplacedV1 said => said with { Body = Respelt(said.Body, spell) },
        _ => body,
    };

    private static Condition Respelt(Condition condition, Func<AliasKind, string?, string?> spell) =>
        condition with { Refurbisher = spell(AliasKind.Refurbisher, condition.Refurbisher) };
}
