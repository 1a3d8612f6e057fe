using System.Globalization;
using Reliability.Benchmarks.Bootstrap;
using Reliability.Benchmarks.Contract;
using Reliability.Benchmarks.Fits;
using Reliability.Benchmarks.Harness;
using Reliability.Benchmarks.Ingest;
using Reliability.Benchmarks.Kernels;
using Reliability.Benchmarks.Predictions;
using Reliability.Benchmarks.Rebuild;
using Reliability.Benchmarks.Remote;

// dotnet run -c Release --project tests/Reliability.Benchmarks -- all|NAME... [--check] [--quick] [--lives]
var check = args.Contains("--check");
ISubject[] subjects =
[
    new FitSubject(), new KernelSubject(), new StoredFitSubject(), new BootstrapSubject(), new IngestSubject(args.Contains("--quick"), args.Contains("--lives")),
    new PredictionSubject(), new RebuildSubject(), new ContractSubject(), new RemoteSubject(),
];
var names = args.Where(argument => argument is not ("--check" or "--quick" or "--lives")).ToList();
var chosen = names is ["all"] ? subjects : [.. subjects.Where(subject => names.Contains(subject.Name))];
if (names.Count == 0 || chosen.Length < names.Count)
{
    Console.Error.WriteLine("Usage: -- all|NAME... [--check] [--quick] [--lives], where NAME is one of");
    foreach (var subject in subjects)
        Console.Error.WriteLine($"  {subject.Name,-12} {subject.Description}");
    return 2;
}

#if DEBUG
Console.Error.WriteLine("This is a debug build: its figures mean nothing. Add -c Release.");
#endif
using var stop = new CancellationTokenSource();
Console.CancelKeyPress += (_, pressed) =>
{
    pressed.Cancel = true;
    stop.Cancel();
};
var missed = 0;
foreach (var subject in chosen)
{
    Console.WriteLine($"== {subject.Name}: {subject.Description}");
    await subject.RunAsync(Print, stop.Token);
}

return check && missed > 0 ? 1 : 0;

void Print(Figure figure)
{
    var line = string.Create(CultureInfo.InvariantCulture, $"{figure.Name,-58} {figure.Value,14:N3} {figure.Unit}");
    if (check && figure.Target is { } target)
    {
        var met = target.IsMetBy(figure.Value);
        missed += met ? 0 : 1;
        line += string.Create(CultureInfo.InvariantCulture,
            $"   target {(target.AtLeast ? "at least" : "at most")} {target.Limit:N3}: {(met ? "met" : "MISSED")}");
    }

    Console.WriteLine(line);
}
