using Reliability.History.Aliases;
using Reliability.History.Events;
using Reliability.History.Lives;
using Reliability.Store.Posting;
using Xunit;

namespace Reliability.Store.Tests.Posting;

/// <summary>
/// What a receipt says of a correction is what its record says of it: an event of another module is none to correct, and one of
/// the same is found wherever it is stored.
/// </summary>
public sealed class TargetTests(SharedServer server) : StoreTest(server)
{
    [Fact]
    public async Task A_correction_finds_its_target_in_its_own_record_only()
    {
        await Organisation.Catalogue.CreateAsync(Scenario.Model, Scenario.Blower, Cancellation);
        // On streams of their own, and in sheets that lives have taken in.
        RecordedEvent[] old = [.. Scenario.WholeHistory("m-1"), .. Scenario.WholeHistory("m-2")];
        await RecordAndWaitAsync(old);
        // In a sheet that they may not have come to yet, and in the very post.
        RecordedEvent[] recent = [Scenario.Read("m-1", 91, 360), Scenario.Read("m-2", 91, 360)];
        await RecordAsync(recent);
        RecordedEvent[] now = [Scenario.Read("m-1", 92, 370), Scenario.Read("m-2", 92, 370), Scenario.Failed("m-1", 95, 400), Scenario.Failed("m-2", 95, 400)];

        RecordedEvent[] targets = [.. old, .. recent, .. now];
        RecordedEvent[] corrections =
        [
            .. targets.Select(target => Scenario.Retracted("m-1", target, 100)),
            .. targets.Select(target => Replaced("m-2", target)),
            Scenario.Retracted("m-1", Scenario.Read("m-1", 99, 1), 100),
        ];
        // What a check foretells is what is recorded.
        var foretold = await Organisation.Events.CheckAsync([.. now, .. corrections], Cancellation);
        var outcomes = await RecordAsync([.. now, .. corrections]);

        var said = outcomes.Skip(now.Length).Select(Reason).ToList();
        Assert.Equal(said, foretold.Skip(now.Length).Select(Reason));
        Assert.Equal(
            corrections.Select(correction => (correction.ModuleId, Missing: said[Array.IndexOf(corrections, correction)] is not null)),
            [
                .. targets.Select(target => ("m-1", target.ModuleId != "m-1")), .. targets.Select(target => ("m-2", target.ModuleId != "m-2")),
                ("m-1", true),
            ]);
        await AgreeAsync(corrections, said);
    }

    [Fact]
    public async Task The_ids_of_a_joined_module_have_one_record()
    {
        await RecordAsync(Scenario.Registered("m-1"), Scenario.Failed("m-2", 5, 10), Scenario.Read("m-2", 4, 9));
        await Organisation.Aliases.CreateAsync(AliasKind.Module, "m-2", "m-1", validateOnly: false, Cancellation);
        RecordedEvent[] corrections =
        [
            Scenario.Retracted("m-1", Scenario.Failed("m-2", 5, 10), 100), Scenario.Retracted("m-1", Scenario.Read("m-2", 4, 9), 100),
            Scenario.Retracted("m-2", Scenario.Registered("m-1"), 100),
        ];

        var said = (await RecordAsync(corrections)).Select(Reason).ToList();

        Assert.All(said, reason => Assert.NotEqual(UnresolvedReason.TargetMissing, reason));
    }

    [Fact]
    public async Task Parts_of_a_file_that_is_checked_count_for_each_other_within_a_module()
    {
        var check = Organisation.Events.BeginCheck();
        await check.CheckAsync([Scenario.Retracted("m-1", Scenario.Failed("m-1", 5, 10), 100), Replaced("m-1", Scenario.Failed("m-2", 5, 10))], Cancellation);
        await check.CheckAsync([Scenario.Failed("m-1", 5, 10), Scenario.Failed("m-2", 5, 10)], Cancellation);

        Assert.Equal(1, check.Unresolved[UnresolvedReason.TargetMissing]);
    }

    private async Task AgreeAsync(RecordedEvent[] corrections, List<UnresolvedReason?> said)
    {
        foreach (var module in corrections.GroupBy(correction => correction.ModuleId))
        {
            var record = (await Organisation.Modules.ListEventsAsync(module.Key, null, 200, null, Cancellation))!.Items
                .ToDictionary(item => item.Event.EventId, item => item.Status.UnresolvedReason == UnresolvedReason.TargetMissing);
            foreach (var correction in module)
                Assert.Equal(record[correction.EventId], said[Array.IndexOf(corrections, correction)] == UnresolvedReason.TargetMissing);
        }
    }

    private static UnresolvedReason? Reason(RecordOutcome outcome) => Assert.IsType<RecordOutcome.Receipt>(outcome).UnresolvedReason;

    private static RecordedEvent Replaced(string module, RecordedEvent target) => Scenario.Event(
        module, $"{module}-replaces-{target.OriginalId}", 101,
        new ReplacedV1
        {
            TargetSource = target.Source,
            TargetEventId = target.OriginalId,
            Occurrence = Occurrence.AtInstant(Scenario.Start.AddDays(50)),
            Body = new FailedV1 { Mode = "bearing" },
        });
}
