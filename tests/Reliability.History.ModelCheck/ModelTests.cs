using Reliability.History.Lives;
using Reliability.Rules;
using Xunit;

namespace Reliability.History.ModelCheck;

public sealed class ModelTests
{
    [Fact]
    public void Try()
    {
        int from = int.Parse(Environment.GetEnvironmentVariable("FROM") ?? "0"), n = int.Parse(Environment.GetEnvironmentVariable("N") ?? "300"), bad = 0;
        var show = int.Parse(Environment.GetEnvironmentVariable("SHOW") ?? "3");
        for (var seed = from; seed < from + n; seed++)
        {
            var made = RandomRecord.Of(seed);
            if (Diff(made).Count == 0) continue;
            bad++;
            if (bad > show) continue;
            var facts = made.Facts.ToList();
            for (var i = facts.Count - 1; i >= 0; i--)
            {
                var without = facts.ToList();
                without.RemoveAt(i);
                if (Diff(made with { Facts = without }).Count > 0) facts = without;
            }
            Console.WriteLine($"== seed {seed} asked cut {made.Asked.Cutoff} mode {made.Asked.Mode} unk {made.Asked.UnknownRenews} low {made.Asked.UnmeasuredLowOutput} ov {string.Join(',', made.Asked.Overrides)} thr {string.Join(',', made.Asked.Models["blower"])}");
            foreach (var f in Print(facts)) Console.WriteLine("   " + f);
            foreach (var line in Diff(made with { Facts = facts })) Console.WriteLine(line);
        }
        Console.WriteLine($"{bad} of {n} disagree");
    }

    private static IEnumerable<string> Print(List<Fact> facts) => facts.OrderBy(f => f.When.From).ThenBy(f => f.Kind).Select(f =>
    {
        var w = (Window x) => x.IsDay ? $"day {x.From}-{x.To}" : $"{x.From}";
        return $"{f.Id[..4]} {w(f.When)} {f.Kind} rd={f.Reading} {string.Join(';', f.Readings.Select(r => $"{w(r.When)}:{r.Hours}"))} {f.Host} {(f.Kind == Kind.Installed ? (f.HostMeter ? "hostmeter" : "own") : "")} stops={f.Stops} age={f.Age} cf={f.CompleteFrom} model={f.Model} why={f.Why} mode={f.Mode} mom={f.Moment} ren={f.Renewal} ofHost={f.OfHost} fin={f.Final} fst={f.First} out={f.Percent} unit={f.InUnit} tgt={f.TargetId} pid={f.PostedId} start={w(f.Start)} end={w(f.End)} ageEnd={f.AgeAtEnd} lw={f.LastWorking} rf={f.ReportedFailed} before={f.Before} after={f.After} ret={f.RetiredFailed} refn={f.Refurbishments}"
            .Replace(" stops= ", " ").Replace(" cf= ", " ");
    });

    private static List<string> Diff(Case c)
    {
        var told = Lines.Of(Rules.Rules.Tell(c.Facts, c.Asked));
        var derived = Lines.Of(LifeDerivation.Derive(Translation.Record(c.Facts), Translation.Catalogue(c.Asked), Translation.Options(c.Asked)));
        return [.. told.Except(derived).Select(l => "  model   " + l), .. derived.Except(told).Select(l => "  history " + l)];
    }
}
