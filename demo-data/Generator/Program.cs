using Reliability.DemoData.Scenario;
using Reliability.DemoData.Simulation;
using Reliability.DemoData.Records;

var net = Network.Brindlemoor;
var seed = args.Length > 0 ? ulong.Parse(args[0]) : 1;
var lives = FleetSimulation.Run(net, seed);
foreach (var g in lives.Where(l => l.IsRecorded).GroupBy(l => (l.Module.Family.ModelId, l.RefurbishmentCount > 0)))
{
    Console.WriteLine($"{g.Key} lives {g.Count()} late {g.Count(l => l.EntersLate)} exact {g.Count(l => l.Outcome == LifeEnd.FailedAtOnce)} between {g.Count(l => l.Outcome == LifeEnd.FoundFailed)} inservice {g.Count(l => l.Outcome == LifeEnd.InService)} rated {g.Count(l => l.Outcome == LifeEnd.RatedHours)} modules {g.Select(l=>l.Module).Distinct().Count()}");
}
foreach (var h in net.Hospitals)
{
    if (h.Form == RecordForm.Events)
    {
        var ev = EventHistory.Of(net, h, lives, seed);
        Console.WriteLine($"{h.Key} events {ev.Count} bytes {ev.Sum(e => e.ToString().Length + 1)}");
        Console.WriteLine(ev[0]); Console.WriteLine(ev[ev.Count/2]);
    }
    else Console.WriteLine($"{h.Key} rows {LifeSheet.Of(net, h, lives).Count}");
}
