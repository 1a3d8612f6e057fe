using Google.Protobuf.WellKnownTypes;
using Reliability.DemoData.Randomness;
using Reliability.DemoData.Scenario;
using Reliability.DemoData.Simulation;
using Reliability.V1;

namespace Reliability.DemoData.Records;

/// <summary>What a hospital with full records posts: every event of every module from the start of its record on.</summary>
internal sealed class EventHistory
{
    private readonly Network _network;
    private readonly Hospital _hospital;
    private readonly Xoshiro256 _random;
    private readonly HashSet<string> _registered = [];
    private readonly List<(int Minute, ModuleEvent Event)> _events = [];

    private EventHistory(Network network, Hospital hospital, ulong seed)
    {
        _network = network;
        _hospital = hospital;
        _random = Xoshiro256.For(seed, hospital.Key + "/records");
    }

    /// <summary>The events of one hospital in order of occurrence, with ids in that order.</summary>
    public static IReadOnlyList<ModuleEvent> Of(
        Network network, Hospital hospital, IEnumerable<ServiceLife> lives, ulong seed)
    {
        var history = new EventHistory(network, hospital, seed);
        foreach (var life in lives.Where(life => life.Hospital == hospital && life.IsRecorded))
            history.Record(life);
        // The sort is stable: what one minute holds of a module stays in the order in which it was done.
        var ordered = history._events.OrderBy(item => item.Minute).ThenBy(item => item.Event.Module, StringComparer.Ordinal);
        return [.. ordered.Select((item, index) => history.Identify(item.Event, index + 1))];
    }

    private ModuleEvent Identify(ModuleEvent moduleEvent, int number)
    {
        moduleEvent.EventId = $"{_hospital.Key}-{number:00000}";
        moduleEvent.Source = _hospital.Source;
        // JSON lines have no place for remarks: the first event carries the heading of the file.
        if (number == 1)
            moduleEvent.Note = DemoFiles.Heading;
        return moduleEvent;
    }

    private void Record(ServiceLife life)
    {
        RecordEntry(life);
        if (life.Module.Family.MeasuresOutput)
            RecordOutput(life);
        else
            RecordReadings(life);
        RecordMeterChange(life);
        RecordEnd(life);
        RecordWhatFollows(life);
    }

    private void RecordEntry(ServiceLife life)
    {
        var family = life.Module.Family;
        if (_registered.Add(life.Module.Id))
        {
            var registered = new Registered
            {
                ModuleModel = "moduleModels/" + family.ModelId,
                Identifiers =
                {
                    new Identifier { Kind = IdentifierKind.SerialNumber, Value = life.Module.SerialNumber },
                },
                Lot = life.Module.Lot,
                Condition = new Condition { RefurbishmentCount = life.RefurbishmentCount, Refurbisher = life.Refurbisher },
                AgeHours = life.AgeAt(life.Entry),
            };
            if (family.HasOwnMeter)
                registered.ReadingHours = life.ReadingAt(life.Entry);
            Add(life, life.Entry, new ModuleEvent { Registered = registered });
        }
        var installed = new Installed
        {
            HostDevice = life.Position.HostDevice,
            Position = "main",
            Site = _hospital.Name,
            HostModel = family.HostModel,
            ReadingHours = life.ReadingAt(life.Entry),
            Meter = family.HasOwnMeter ? Meter.Module : Meter.Host,
        };
        if (!life.EntersLate)
            installed.ExpectedHoursPerDay = Math.Round(life.Position.Usage.UsualHoursPerDay);
        Add(life, life.Entry, new ModuleEvent { Installed = installed });
    }

    private void RecordReadings(ServiceLife life)
    {
        foreach (var round in life.Rounds())
        {
            var hours = life.ReadingAt(round);
            if (_random.Chance(_network.MistypedShare) && hours > 10)
                hours = Math.Round(hours * 10, 1);
            var read = new RunHoursRead
            {
                Meter = life.Module.Family.HasOwnMeter ? Meter.Module : Meter.Host,
                Readings = { new MeterReading { Hours = hours } },
            };
            Add(life, round, new ModuleEvent { RunHoursRead = read });
        }
    }

    private void RecordOutput(ServiceLife life)
    {
        var (least, most) = life.Module.Family.OutputWhenNew;
        var output = new OutputDecay(life, _random.Uniform(least, most));
        var accepted = life.Entry + 10;
        if (accepted < life.End)
            Measure(accepted);
        foreach (var round in life.Rounds().Where(round => round > accepted))
            Measure(round);
        if (life.Outcome is LifeEnd.RatedHours or LifeEnd.Planned or LifeEnd.Upgraded or LifeEnd.FoundFailed)
            Measure(life.End);

        void Measure(int minute) => Add(life, minute, new ModuleEvent
        {
            OutputMeasured = new OutputMeasured
            {
                MeasuredValue = output.MeasuredAt(minute),
                ReadingHours = life.ReadingAt(minute),
            },
        });
    }

    private void RecordMeterChange(ServiceLife life)
    {
        var change = life.Position.MeterChange;
        if (life.Module.Family.HasOwnMeter || change <= life.Entry || change > (life.Removal ?? life.End))
            return;
        Add(life, change, new ModuleEvent
        {
            MeterChanged = new MeterChanged
            {
                Meter = Meter.Host,
                FinalHours = life.Position.OldMeterAt(change),
                FirstHours = life.Position.MeterAt(change),
            },
        });
    }

    private void RecordEnd(ServiceLife life)
    {
        var lowOutput = life.Outcome == LifeEnd.FoundFailed && life.Mode.ByOutput;
        if (life.Outcome is LifeEnd.FailedAtOnce or LifeEnd.FoundFailed && !lowOutput)
        {
            Add(life, life.End, new ModuleEvent
            {
                Failed = new Failed
                {
                    FailureMode = life.Mode.Name,
                    ReadingHours = life.ReadingAt(life.End),
                    Moment = life.Outcome == LifeEnd.FailedAtOnce ? FailureMoment.Failure : FailureMoment.Discovery,
                },
            });
        }
        if (life.Removal is not { } removal)
            return;
        Add(life, removal, new ModuleEvent
        {
            Removed = new Removed
            {
                Reason = RemovalReasons.Of(life),
                ReadingHours = life.ReadingAt(removal),
                ConfirmedCautions = { "ISOLATE_SUPPLY" },
            },
        });
    }

    private void RecordWhatFollows(ServiceLife life)
    {
        if (life.RefurbishedAt is { } back)
        {
            var refurbished = new Refurbished
            {
                Refurbisher = life.NextRefurbisher,
                Renewal = WearingPartRenewal.Renewed,
            };
            if (life.Module.Family.HasOwnMeter)
                refurbished.ReadingBeforeHours = refurbished.ReadingAfterHours = life.ReadingAt(life.End);
            Add(life, back, new ModuleEvent { Refurbished = refurbished });
        }
        if (life.RetiredAt is { } retired)
        {
            Add(life, retired, new ModuleEvent
            {
                Retired = new Retired { Reason = "worn out", DisposalRoute = DisposalRoute.Recycled },
            });
        }
    }

    private void Add(ServiceLife life, int minute, ModuleEvent moduleEvent)
    {
        moduleEvent.Module = "modules/" + life.Module.Id;
        moduleEvent.OccurTime = Timestamp.FromDateTime(_network.TimeOf(minute));
        _events.Add((minute, moduleEvent));
    }
}
