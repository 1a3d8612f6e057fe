using System.Globalization;
using System.Text;
using Reliability.Rules;

namespace Reliability.History.ModelCheck;

/// <summary>A record in words, a fact a line: hours since the origin, only what is given.</summary>
internal static class Description
{
    public static string Of(Case made)
    {
        var text = new StringBuilder();
        var asked = made.Asked;
        text.Append(CultureInfo.InvariantCulture, $"seed {made.Seed}");
        Say(text, "cut-off", asked.Cutoff);
        Say(text, "mode", asked.Mode);
        Say(text, "unknown renews", asked.UnknownRenews);
        Say(text, "unmeasured", asked.UnmeasuredLowOutput == Verdict.Survived ? null : asked.UnmeasuredLowOutput);
        foreach (var row in asked.Overrides)
            Say(text, row.Key.ToString(), row.Value);
        foreach (var version in asked.Models.SelectMany(m => m.Value))
            Say(text, $"threshold from {version.From}", version.Percent);
        text.AppendLine();
        foreach (var fact in Sequence(made.Facts))
            Say(text, fact);
        return text.ToString();
    }

    private static IEnumerable<Fact> Sequence(IEnumerable<Fact> facts) => facts.OrderBy(f => f.When.From).ThenBy(f => f.Kind);

    private static void Say(StringBuilder text, Fact fact)
    {
        text.Append(CultureInfo.InvariantCulture, $"  {fact.Id[..Math.Min(fact.Id.Length, 4)]} {Of(fact.When)} {fact.Kind}");
        foreach (var reading in fact.Readings)
            text.Append(CultureInfo.InvariantCulture, $" {reading.Hours} at {Of(reading.When)}");
        if (fact.Kind == Kind.Installed)
            text.Append(fact.HostMeter ? " host's meter" : " own meter");
        if (fact.Kind is Kind.Repaired or Kind.Refurbished)
            Say(text, "renews", fact.Renewal);
        if (fact.Kind == Kind.Output)
            Say(text, "per cent", fact.Percent);
        if (fact.Kind == Kind.Reported)
            text.Append(CultureInfo.InvariantCulture, $" {Of(fact.Start)} to {Of(fact.End)} failed {fact.ReportedFailed} age at end {fact.AgeAtEnd}");
        Say(text, "reading", fact.Reading);
        Say(text, "in", fact.Host);
        Say(text, "stops", fact.Stops);
        Say(text, "age", fact.Age);
        Say(text, "complete from", fact.CompleteFrom);
        Say(text, "refurbished", fact.Refurbishments == 0 ? null : fact.Refurbishments);
        Say(text, "why", fact.Why);
        Say(text, "mode", fact.Mode);
        Say(text, "moment", fact.Moment ? true : null);
        Say(text, "of host", fact.OfHost);
        Say(text, "final", fact.Final);
        Say(text, "first", fact.First);
        Say(text, "in unit", fact.InUnit ? true : null);
        Say(text, "before", fact.Before);
        Say(text, "after", fact.After);
        Say(text, "failed", fact.RetiredFailed ? true : null);
        Say(text, "last working", fact.LastWorking);
        Say(text, "target", fact.TargetId.Length == 0 ? null : fact.TargetId);
        Say(text, "for host", fact.PostedForHost);
        text.AppendLine();
        if (fact.Right is not null)
            Say(text, fact.Right with { Id = "by" });
    }

    private static void Say(StringBuilder text, string name, object? value)
    {
        if (value is not null)
            text.Append(CultureInfo.InvariantCulture, $", {name} {value}");
    }

    private static string Of(Window window) => window.IsDay ? $"day {window.From}" : $"{window.From}";
}
