using System.Text.Json;
using CsCheck;
using Reliability.History.Aliases;
using Reliability.History.Events;
using Xunit;

namespace Reliability.History.Tests.Aliases;

/// <summary>Which names mean the same, as aliases come and go.</summary>
public sealed class AliasTableTests
{
    private const AliasKind Kind = AliasKind.Module;

    private static readonly DateTimeOffset Origin = new(2026, 1, 1, 0, 0, 0, TimeSpan.Zero);

    [Fact]
    public void A_chain_of_names_is_one_thing_under_the_name_at_its_end()
    {
        var table = Table(Joined("c", "b"), Joined("b", "a"), Joined("d", "a"));

        Assert.All((string[])["a", "b", "c", "d"], name =>
        {
            Assert.Equal("a", table.Primary(Kind, name));
            Assert.Equal(["a", "b", "c", "d"], table.Names(Kind, name));
        });
        Assert.Equal(["e"], table.Names(Kind, "e"));
        Assert.Equal("b", table.Primary(AliasKind.Site, "b"));
    }

    [Fact]
    public void Undone_each_name_means_what_it_meant_before()
    {
        var table = Table(Joined("c", "b"), Joined("b", "a"), Parted("b"));

        Assert.Equal(["a"], table.Names(Kind, "a"));
        Assert.Equal(["b", "c"], table.Names(Kind, "c"));
        Assert.Equal((0, 1), (table.JoinedAt(Kind, "a"), table.JoinedAt(Kind, "c")));
        Assert.Equal(3, table.ChangedAt(Kind, "a"));
        Assert.Equal(["a", "b", "c"], table.EverJoined(Kind, "a").Order());
        Assert.Equal(0, table.ChangedAt(Kind, "d"));
    }

    [Fact]
    public void A_circle_is_seen_before_it_is_made()
    {
        var table = Table(Joined("c", "b"), Joined("b", "a"));

        Assert.True(table.WouldBeCircular(Kind, "a", "c"));
        Assert.True(table.WouldBeCircular(Kind, "a", "a"));
        Assert.False(table.WouldBeCircular(Kind, "a", "d"));
        Assert.False(table.WouldBeCircular(AliasKind.Site, "a", "c"));
    }

    [Fact]
    public void As_of_a_record_time_later_changes_are_not_there()
    {
        var table = Table(Joined("b", "a"), Parted("b"), Joined("b", "z"));

        Assert.Equal(["b", "a", "b", "z"], Enumerable.Range(0, 4).Select(at => table.AsOf(Origin.AddDays(at)).Primary(Kind, "b")));
    }

    // Against a plain search over the pairs in force: names are joined exactly when a path of pairs leads from one to the other.
    [Fact]
    public void Names_are_joined_exactly_when_pairs_in_force_lead_from_one_to_the_other() =>
        Gen.Select(Gen.Int[0, 5], Gen.Int[0, 5], Gen.Bool).List[0, 30].Sample(steps =>
        {
            var changes = new List<AliasChange>();
            var pairs = new Dictionary<string, string>();
            foreach (var (from, to, join) in steps)
            {
                var (alternate, primary) = ($"m{from}", $"m{to}");
                if (!join && pairs.Remove(alternate))
                    changes.Add(new(Kind, alternate, null, changes.Count + 1, Origin.AddDays(changes.Count + 1)));
                else if (join && !pairs.ContainsKey(alternate) && !Reaches(pairs, primary, alternate))
                {
                    pairs[alternate] = primary;
                    changes.Add(new(Kind, alternate, primary, changes.Count + 1, Origin.AddDays(changes.Count + 1)));
                }
            }

            var table = AliasTable.Of(changes.OrderByDescending(change => change.Alternate));
            for (var one = 0; one <= 5; one++)
                for (var other = 0; other <= 5; other++)
                    Assert.Equal(
                        Ends(pairs, $"m{one}") == Ends(pairs, $"m{other}"),
                        table.Names(Kind, $"m{one}").Contains($"m{other}"));
        });

    [Fact]
    public void Spellings_are_read_as_what_they_stand_for_and_stay_in_the_record()
    {
        var aliases = AliasTable.Of(
        [
            new(AliasKind.Site, "Quennick Gen.", "Quennick General", 1, Origin),
            new(AliasKind.Refurbisher, "2nd Turn", "Second Turn Bench", 2, Origin),
        ]);
        var typed = new Scenario.History().Registered()
            .At(1, new InstalledV1 { HostDevice = "vent-3", Site = "Quennick Gen.", HostModel = "Breva 2" })
            .Refurbished(30, by: "2nd Turn")
            .At(40, new ReplacedV1
            {
                TargetSource = Scenario.History.Source,
                TargetEventId = "e1",
                Occurrence = Occurrence.AtInstant(Origin),
                Body = new InstalledV1 { HostDevice = "vent-4", Site = "Quennick Gen." },
            }).Events;

        var read = typed.Select(recorded => RecordAliases.Read(recorded, "primary", aliases)).ToList();

        Assert.Equal(
            [
                new(AliasKind.Site, "Quennick Gen."), new(AliasKind.Refurbisher, "2nd Turn"), new Spelling(AliasKind.HostModel, "Breva 2"),
            ],
            RecordAliases.SpellingsIn(typed));
        Assert.Equal(
            [
                new(AliasKind.Site, "Quennick General"), new(AliasKind.Refurbisher, "Second Turn Bench"),
                new Spelling(AliasKind.HostModel, "Breva 2"),
            ],
            RecordAliases.SpellingsIn(read));
        Assert.All(read, recorded => Assert.Equal("primary", recorded.ModuleId));
        Assert.Equal(
            JsonSerializer.Serialize(typed), JsonSerializer.Serialize(typed.Select(e => RecordAliases.Read(e, e.ModuleId, AliasTable.Empty))));
    }

    // The bytes of stored aliases, version 1: never changed, only added to.
    [Fact]
    public void Stored_aliases_of_version_1_are_read_for_ever()
    {
        const string Created = """{"kind":"host-model","alternate":"Breva II","primary":"Breva 2"}""";
        const string Deleted = """{"kind":"module","alternate":"blower-17"}""";

        var created = JsonSerializer.Deserialize(Created, HistoryJsonContext.Default.AliasCreatedV1)!;
        var deleted = JsonSerializer.Deserialize(Deleted, HistoryJsonContext.Default.AliasDeletedV1)!;

        Assert.Equal(new() { Kind = AliasKind.HostModel, Alternate = "Breva II", Primary = "Breva 2" }, created);
        Assert.Equal(new() { Kind = AliasKind.Module, Alternate = "blower-17" }, deleted);
        Assert.Equal(Created, JsonSerializer.Serialize(created, HistoryJsonContext.Default.AliasCreatedV1));
        Assert.Equal(Deleted, JsonSerializer.Serialize(deleted, HistoryJsonContext.Default.AliasDeletedV1));
    }

    private static (string Alternate, string? Primary) Joined(string alternate, string primary) => (alternate, primary);

    private static (string Alternate, string? Primary) Parted(string alternate) => (alternate, null);

    private static AliasTable Table(params IEnumerable<(string Alternate, string? Primary)> changes) => AliasTable.Of(changes.Select(
        (change, index) => new AliasChange(Kind, change.Alternate, change.Primary, index + 1, Origin.AddDays(index + 1))));

    private static bool Reaches(Dictionary<string, string> pairs, string from, string to) => Ends(pairs, from) == to;

    private static string Ends(Dictionary<string, string> pairs, string from)
    {
        while (pairs.TryGetValue(from, out var next))
            from = next;
        return from;
    }
}
