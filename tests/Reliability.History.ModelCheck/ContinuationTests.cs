using System.Text.Json;
using Reliability.History.Catalogue;
using Reliability.History.Events;
using Reliability.History.Lives;
using Xunit;

namespace Reliability.History.ModelCheck;

/// <summary>
/// Going on from what was derived gives what the whole record gives, to the last bit, or says that it cannot: random records come in
/// pieces, with readings behind them that are plain, or nearly so. RELIABILITY_MODEL_RECORDS sets the number of records.
/// </summary>
public sealed class ContinuationTests(ITestOutputHelper output)
{
    // Of the pieces so many at least must be such as can be gone on with, or the test says little.
    private const double LeastContinued = 0.3;

    [Fact]
    public void Going_on_gives_what_the_whole_record_gives()
    {
        var (pieces, continued) = (0, 0);
        var wrong = new List<string>();
        Parallel.For(ModelTests.From, ModelTests.From + ModelTests.Records, seed =>
        {
            var feed = new Feed(seed);
            feed.Run();
            Interlocked.Add(ref pieces, feed.Pieces);
            Interlocked.Add(ref continued, feed.Continued);
            if (feed.Wrong is { } found)
            {
                lock (wrong)
                    wrong.Add(found);
            }
        });

        output.WriteLine($"{pieces} pieces, {continued} gone on with, {wrong.Count} wrong");
        Assert.True(wrong.Count == 0, string.Join("\n\n", wrong.Take(3)));
        Assert.True(continued > pieces * LeastContinued, $"Only {continued} of {pieces} pieces were gone on with.");
    }

    /// <summary>One record that comes in pieces.</summary>
    private sealed class Feed
    {
        private static readonly DateTimeOffset Origin = Translation.Time(0);

        private readonly Random _random;
        private readonly List<RecordedEvent> _toCome;
        private readonly List<RecordedEvent> _there = [];
        private readonly ModuleCatalogue _catalogue;
        private readonly DerivationOptions _options;
        private readonly int _seed;

        public Feed(int seed)
        {
            var made = RandomRecord.Of(seed);
            _seed = seed;
            // Not the numbers that the record itself was made of: ids would come again.
            _random = new Random(~seed);
            _catalogue = Translation.Catalogue(made.Asked);
            _options = Translation.Options(made.Asked with { Cutoff = null, Mode = null });
            var record = Translation.Record(made.Facts).Events.DistinctBy(e => e.EventId).ToList();
            // Mostly as it happened, sometimes with what came late at the end, or with the tail missing.
            if (_random.Next(4) == 0)
                Shuffle(record);
            else if (_random.Next(2) == 0)
                record.RemoveRange(record.Count - (record.Count / 3), record.Count / 3);
            _toCome = [.. record, .. Readings(record)];
        }

        public int Pieces { get; private set; }

        public int Continued { get; private set; }

        public string? Wrong { get; private set; }

        public void Run()
        {
            for (var at = 0; at < _toCome.Count && Wrong is null;)
            {
                var piece = _toCome.GetRange(at, Math.Min(_random.Next(1, 4), _toCome.Count - at));
                at += piece.Count;
                var known = piece.TrueForAll(e => e.Body is RunHoursReadV1) ? Derived(_there) : null;
                _there.AddRange(piece);
                if (known?.Continuation is not { } from)
                    continue;
                Pieces++;
                if (_random.Next(3) == 0)
                    Shuffle(piece);
                var life = known.Lives.Single(l => l.Number == known.CurrentLifeNumber);
                if (LifeContinuation.Continue(new(known, life, from), piece) is { } on)
                {
                    Continued++;
                    Compare(known, on, Derived(_there));
                }
            }
        }

        private DerivedModule Derived(IEnumerable<RecordedEvent> events) =>
            LifeDerivation.Derive(new(Translation.Module, [.. events]), _catalogue, _options);

        // The two must be the same in all that rows are made of; of events, those that something is to be said of.
        private void Compare(DerivedModule before, ContinuedModule on, DerivedModule whole)
        {
            var lives = before.Lives.Select(life => life.Number == on.CurrentLife.Number ? on.CurrentLife : life);
            var (expected, actual) = (
                Text(whole, whole.Lives, whole.Events, whole.Continuation, whole.Spells),
                Text(on.Module, lives, before.Events, on.Continuation, before.Spells));
            if (expected != actual)
                Wrong = $"seed {_seed}, {_there.Count} events\n{expected}\n{actual}";
        }

        private static string Text(
            DerivedModule module, IEnumerable<Life> lives, IEnumerable<EventStatus> events, Continuation? continuation,
            IEnumerable<Spell> spells) =>
            JsonSerializer.Serialize(module with { Lives = [], Spells = [], Events = [], Usage = [], Continuation = null })
            + JsonSerializer.Serialize(lives)
            + JsonSerializer.Serialize(events.Where(status => status.Standing == EventStanding.Unresolved || status.Flags.Count > 0))
            + JsonSerializer.Serialize(continuation)
            + JsonSerializer.Serialize(spells.Select(spell => (spell.Meter, spell.HostDevice, spell.StartTime, spell.EndTime)
                .ToString()));

        // Readings behind the record: mostly in step, sometimes by days, at the same hours or times, too fast, falling or mistyped.
        private List<RecordedEvent> Readings(List<RecordedEvent> record)
        {
            var readings = new List<RecordedEvent>();
            if (record.Count == 0)
                return readings;
            var hour = record.Max(e => (long)(e.Occurrence.Latest - Origin).TotalHours);
            var hours = Derived(record).LastReadingHours is { } shown && _random.Next(8) > 0 ? shown : _random.Next(0, 900);
            if (_random.Next(3) > 0)
            {
                // So that more of them are in service, in a life that goes on.
                hour += _random.Next(0, 30);
                if (_random.Next(3) > 0)
                {
                    readings.Add(Event(Occurrence.AtInstant(Translation.Time(hour++)), "renewed", new RefurbishedV1
                    {
                        RenewsWearingPart = RenewalStatement.Yes,
                        ReadingAfterHours = _random.Next(4) == 0 ? null : hours,
                    }));
                }

                readings.Add(Event(Occurrence.AtInstant(Translation.Time(hour)), "later", new InstalledV1
                {
                    HostDevice = "vent-9",
                    Meter = _random.Next(6) == 0 ? MeterOwner.Host : MeterOwner.Module,
                    ReadingHours = _random.Next(4) == 0 ? null : hours,
                }));
            }

            for (var n = _random.Next(0, 16); n > 0; n--)
            {
                var passed = _random.Next(6) == 0 ? 0 : _random.Next(1, 60);
                hour += passed;
                hours += _random.Next(8) switch
                {
                    0 => 0,
                    1 => passed,
                    2 => passed + 1,
                    3 => -_random.Next(0, 40),
                    4 => 0.1 * _random.Next(0, passed + 1),
                    _ => passed * _random.NextDouble(),
                };
                hours = Math.Max(0, hours);
                readings.Add(Reading(hour, _random.Next(40) == 0 ? hours * 10 : hours, readings.Count));
            }

            return readings;
        }

        private RecordedEvent Reading(long hour, double hours, int number)
        {
            var time = Translation.Time(hour);
            var day = Translation.Time(hour / 24 * 24);
            var when = _random.Next(6) == 0 ? Occurrence.OnDay(day, day.AddDays(1), "UTC") : Occurrence.AtInstant(time);
            var reading = new MeterReading { Earliest = when.Earliest, Latest = when.Latest, Hours = hours };
            return Event(when, $"later-{number}", new RunHoursReadV1
            {
                Meter = _random.Next(12) switch { 0 => MeterOwner.Host, < 6 => MeterOwner.Module, _ => null },
                Readings = _random.Next(20) == 0 ? [reading, reading with { Hours = hours + 1 }] : [reading],
            });
        }

        private RecordedEvent Event(Occurrence when, string id, EventBody body)
        {
            var bytes = new byte[16];
            _random.NextBytes(bytes);
            return new()
            {
                EventId = new Guid(bytes),
                OriginalId = id,
                Source = "quennick",
                ModuleId = Translation.Module,
                Occurrence = when,
                Body = body,
            };
        }

        private void Shuffle(List<RecordedEvent> events)
        {
            for (var i = events.Count - 1; i > 0; i--)
            {
                var j = _random.Next(i + 1);
                (events[i], events[j]) = (events[j], events[i]);
            }
        }
    }
}
