using Reliability.History.Events;

namespace Reliability.History.Derivation;

/// <summary>A spell while the record is walked: from an install to the removal.</summary>
internal sealed class SpellDraft(Phase phase, InstalledV1? install, RecordedEvent startEvent)
{
    public Phase Phase { get; } = phase;

    /// <summary>The install; null when it is missing.</summary>
    public InstalledV1? Install { get; } = install;

    /// <summary>The install, or what stands for it.</summary>
    public RecordedEvent StartEvent { get; } = startEvent;

    public Occurrence Start => StartEvent.Occurrence;

    public Occurrence? End { get; private set; }

    public RemovedV1? Removal { get; private set; }

    /// <summary>The removal, or what showed that the module was taken out.</summary>
    public RecordedEvent? EndEvent { get; private set; }

    /// <summary>The first report that the module failed in this spell.</summary>
    public RecordedEvent? FailureReport { get; set; }

    public List<Segment> Segments { get; } = [];

    public MeterOwner Meter { get; } = install?.Meter ?? MeterOwner.Module;

    public bool MeterStopsAtFailure { get; } =
        install?.MeterStopsAtFailure ?? (install?.Meter ?? MeterOwner.Module) == MeterOwner.Module;

    /// <summary>Key of the record of the host's meter, when that is the meter that counts; null on the module's own.</summary>
    public string? HostRecord { get; } =
        install is { Meter: MeterOwner.Host } ? Events.HostRecord.Key(install.HostDevice) : null;

    public bool IsOpen => End is null;

    /// <summary>Whether it began after the life of its phase was over.</summary>
    public bool AfterLife { get; init; }

    public Segment Segment => Segments[^1];

    public void Close(RecordedEvent by)
    {
        End = by.Occurrence;
        Segment.End = by.Occurrence;
        EndEvent = by;
        Removal = by.Body as RemovedV1;
    }
}
