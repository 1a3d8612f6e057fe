using Reliability.History.Lives;
using Reliability.Service.Events;
using Reliability.Store.Modules;

namespace Reliability.Service.Mapping;

/// <summary>Modules and the events of their records.</summary>
internal static class ModuleMapping
{
    private const double NearShare = 0.9;

    public static V1.Module ToWire(StoredModule stored)
    {
        var (module, summary) = (stored.Summary.Module, stored.Summary);
        var rated = summary.CurrentLife?.RatedHours;
        var wire = new V1.Module
        {
            Name = ResourceNames.Module(module.ModuleId),
            State = Words.States.ToWire(module.State),
            ModuleModel = ResourceNames.ModuleModel(module.ModelId),
            Lot = module.Lot ?? string.Empty,
            Condition = EventWire.ToWire(module.Condition),
            HostDevice = module.HostDevice ?? string.Empty,
            Position = module.Position ?? string.Empty,
            Site = module.Site ?? string.Empty,
            HostModel = module.HostModel ?? string.Empty,
            Age = Range(module.Age),
            TotalHours = Range(module.TotalHours),
            LastReadingTime = EventWire.Time(module.LastReadingTime),
            RatedHoursStatus = Status(module.Age, rated),
            UnresolvedEventCount = summary.UnresolvedEventCount,
            LifeCount = summary.LifeCount,
            Revision = stored.Revision.ToString(),
        };
        if (rated is { } hours)
            wire.RatedHours = hours;
        wire.Identifiers.AddRange(module.Identifiers.Select(EventWire.ToWire));
        wire.JoinedModules.AddRange((summary.JoinedModules ?? []).Select(ResourceNames.Module));
        wire.Flags.AddRange(summary.OddEvents.SelectMany(odd =>
            odd.Flags.Select(flag => Flag(flag, odd.Source, odd.OriginalId))));
        return wire;
    }

    public static V1.RecordedEvent ToWire(EventInRecord stored)
    {
        var status = stored.Status;
        var (reason, text) = status.UnresolvedReason is { } unresolved
            ? (Words.Code(unresolved), RecordTexts.Of(unresolved))
            : status.Standing == EventStanding.Counted
                ? (status.Flags.Count > 0 ? Words.Code(status.Flags[0]) : string.Empty,
                    status.Flags.Count > 0 ? RecordTexts.Of(status.Flags[0]) : string.Empty)
                : (Words.Code(status.Standing), RecordTexts.Of(status.Standing));
        return new()
        {
            Event = EventWire.ToWire(stored.Event),
            RecordTime = EventWire.Time(stored.Event.RecordTime),
            Standing = Standing(status.Standing),
            Reason = reason,
            ReasonText = text,
            Revision = stored.Revision.ToString(),
            RelatedSource = stored.Related?.Source ?? string.Empty,
            RelatedEventId = stored.Related?.OriginalId ?? string.Empty,
            NoteEraseTime = EventWire.Time(stored.NoteEraseTime),
        };
    }

    public static V1.HoursRange? Range(HoursRange? range)
    {
        if (range is not { } known)
            return null;
        var wire = new V1.HoursRange { LowerHours = known.LowerHours };
        if (known.UpperHours is { } upper)
            wire.UpperHours = upper;
        return wire;
    }

    public static V1.RecordFlag Flag(RecordOddity flag, string source, string eventId) =>
        new() { Code = Words.Code(flag), Text = RecordTexts.Of(flag), Source = source, EventId = eventId };

    /// <summary>How an age stands against rated hours. A range that has them inside is uncertain.</summary>
    internal static V1.RatedHoursStatus Status(HoursRange? age, double? rated)
    {
        if (age is not { } known || rated is not { } limit)
            return V1.RatedHoursStatus.Unspecified;
        if (known.LowerHours >= limit)
            return V1.RatedHoursStatus.Reached;
        if (known.UpperHours is not { } upper || upper >= limit)
            return V1.RatedHoursStatus.Uncertain;
        return upper >= NearShare * limit ? V1.RatedHoursStatus.Near : V1.RatedHoursStatus.Below;
    }

    private static V1.EventStanding Standing(EventStanding standing) => standing switch
    {
        EventStanding.Counted => V1.EventStanding.Counted,
        EventStanding.Unresolved => V1.EventStanding.Unresolved,
        EventStanding.Retracted => V1.EventStanding.Retracted,
        EventStanding.Replaced => V1.EventStanding.Replaced,
        // Told by another event, or told better: either way it adds nothing.
        EventStanding.Duplicate or EventStanding.Superseded => V1.EventStanding.Duplicate,
        EventStanding.LeftOut => V1.EventStanding.LeftOut,
        EventStanding.Conflict => V1.EventStanding.Conflict,
        _ => V1.EventStanding.Unspecified,
    };
}
