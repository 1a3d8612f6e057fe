using Reliability.History.Aliases;
using Reliability.History.Events;
using Reliability.Store.Aliases;
using Xunit;

namespace Reliability.Store.Tests.Lives;

/// <summary>
/// Modules under two ids, hosts that are read once for all that are fitted there, corrections, spellings, aliases that are undone:
/// in whatever order and in whatever pieces it comes, the rows are the same in the end.
/// </summary>
public sealed class ArrivalTests(SharedServer server)
{
    private const int Orders = 6;

    [Fact]
    public async Task In_any_order_and_in_any_pieces_the_rows_are_the_same()
    {
        string? expected = null;
        for (var seed = 0; seed < Orders; seed++)
        {
            await using var arrival = new Arrival(server);
            await arrival.InitializeAsync();
            var rows = await arrival.RowsAfterAsync(seed);
            Assert.Equal(expected ??= rows, rows);
        }
    }

    // The same store for one order of arrival after the other, each in a schema of its own.
    private sealed class Arrival(SharedServer server) : StoreTest(server), IAsyncDisposable
    {
        private const string Seven = "vent 7", Nine = "vent 9";

        private static readonly RecordedEvent Early = HostFleet.Read(Seven, 12, 300);
        private static readonly RecordedEvent Wrong = HostFleet.Read(Seven, 50, 9_000);

        private static readonly RecordedEvent[] Events =
        [
            Scenario.Registered("m-1"), HostFleet.Installed("m-1", Seven, 1, 100, "Q Gen"), HostFleet.Removed("m-1", 30, 550),
            Scenario.Registered("m-2"), HostFleet.Installed("m-2", Seven, 30, 550), HostFleet.Removed("m-2", 60, 1_000),
            // Found to be m-2, which was registered by another system once more.
            Scenario.Registered("m-22"), HostFleet.Installed("m-22", Seven, 90, 1_400),
            Scenario.Registered("m-3"), HostFleet.Installed("m-3", Nine, 1, 40, "Orrowby Infirmary"), HostFleet.Removed("m-3", 40, 500),
            Scenario.Registered("m-4"), HostFleet.Installed("m-4", Nine, 61, 600),
            .. Scenario.WholeHistory("m-5"),
            HostFleet.Read(Seven, 0.5, 95), HostFleet.Read(Seven, 10, 250), Early, HostFleet.Read(Seven, 40, 700), Wrong,
            HostFleet.Read(Seven, 80, 1_250), HostFleet.Read(Seven, 99, 1_500), HostFleet.MeterChanged(Seven, 100, 1_510),
            HostFleet.Read(Seven, 110, 90),
            // What was taken for a reading of m-1's time was one of m-2's.
            HostFleet.Replaced(Seven, Early, 45, 760), HostFleet.Retracted(Seven, Wrong),
            HostFleet.Read(Nine, 20, 300), HostFleet.Read(Nine, 50, 560), HostFleet.Read(Nine, 70, 690), HostFleet.Read(Nine, 80, 790),
        ];

        private static readonly Naming[] Namings =
        [
            new(AliasKind.Module, "m-22", "m-2"),
            new(AliasKind.Site, "Q Gen", "Quennick General"),
            new(AliasKind.Module, "m-3", "m-1", Undone: true),
            new(AliasKind.Module, "m-4", "never-posted", Undone: true),
            new(AliasKind.Site, "Orrowby Infirmary", "Velsham Children's", Undone: true),
        ];

        public async Task<string> RowsAfterAsync(int seed)
        {
            var random = new Random(seed);
            await Organisation.Catalogue.CreateAsync(Scenario.Model, Scenario.Blower, Cancellation);
            var posted = new List<RecordedEvent>();
            foreach (var step in Steps(random, seed))
            {
                if (step is RecordedEvent recorded) posted.Add(recorded);
                if (posted.Count > 0 && (step is not RecordedEvent || random.Next(4) == 0)) await PostAsync(posted, random);
                if (step is Naming naming) await NameAsync(naming);
                else if (step is Undoing undoing) await UndoAsync(undoing.Naming);
            }
            if (posted.Count > 0) await RecordAndWaitAsync(posted);

            // By the meters: 550 - 100; 1,000 - 550 and 1,510 - 1,400 and 90; 500 - 40; 790 - 600.
            var lives = await Organisation.Lives.ReadAsync(new(), null, Cancellation).ToListAsync(Cancellation);
            Assert.Equal(
                [("m-1", 450), ("m-2", 650), ("m-3", 460), ("m-4", 190)],
                lives.Where(stored => stored.Life.ModuleId != "m-5").Select(stored => (stored.Life.ModuleId, stored.Life.Outcome?.LowerHours ?? 0)));
            return await DerivedRowsAsync(withPositions: false, withAliasVersions: false);
        }

        // First as it happened, then shuffled; an alias is undone after it was made.
        private static List<object> Steps(Random random, int seed)
        {
            object[] steps = [.. Events, .. Namings, .. Namings.Where(naming => naming.Undone).Select(naming => new Undoing(naming))];
            if (seed > 0) random.Shuffle(steps);
            foreach (var naming in Namings.Where(naming => naming.Undone))
            {
                var (made, undone) = (Array.IndexOf(steps, naming), Array.IndexOf(steps, new Undoing(naming)));
                if (undone < made) (steps[made], steps[undone]) = (steps[undone], steps[made]);
            }
            return [.. steps];
        }

        private async Task PostAsync(List<RecordedEvent> posted, Random random)
        {
            if (random.Next(2) == 0) await RecordAndWaitAsync(posted);
            else await RecordAsync(posted);
            posted.Clear();
        }

        private async Task NameAsync(Naming naming)
        {
            var created = Assert.IsType<AliasOutcome.Created>(
                await Organisation.Aliases.CreateAsync(naming.Kind, naming.Alternate, naming.Primary, false, Cancellation));
            await WaitAsync(created.Alias.Revision);
        }

        private async Task UndoAsync(Naming naming)
        {
            var id = EventIdentity.AliasId(ReliabilityStore.DefaultOrganisation, naming.Kind, naming.Alternate);
            await WaitAsync(Assert.IsType<AliasOutcome.Deleted>(
                await Organisation.Aliases.DeleteAsync(id, null, false, Cancellation)).Revision);
        }
    }

    private sealed record Naming(AliasKind Kind, string Alternate, string Primary, bool Undone = false);

    private sealed record Undoing(Naming Naming);
}
