using System.CommandLine;
using Reliability.Studies.BootstrapCoverage;
using Reliability.Studies.BoundsCoverage;
using Reliability.Studies.DemoCoverage;
using Reliability.Studies.FreshCoverage;
using Reliability.Studies.Prediction;
using Reliability.Studies.RatioCoverage;

var seeds = new Option<int>("--seeds") { Description = "How many networks.", DefaultValueFactory = _ => 200 };
var first = new Option<ulong>("--first") { Description = "The first seed.", DefaultValueFactory = _ => 1UL };
var page = new Option<FileInfo?>("--out") { Description = "The page to write; printed when not given." };
var coverage = new Command("demo-coverage", "How often the bounds that the demo prints hold the stated truth.")
{
    seeds, first, page,
};
coverage.SetAction(parsed =>
{
    var firstSeed = parsed.GetValue(first);
    var study = new CoverageStudy();
    var networks = new NetworkCoverage[parsed.GetValue(seeds)];
    Parallel.For(0, networks.Length, index => networks[index] = study.Of(firstSeed + (ulong)index));

    var report = new CoverageReport(networks);
    if (parsed.GetValue(page) is { } file)
    {
        using var text = new StreamWriter(file.FullName) { NewLine = "\n" };
        report.WriteTo(text, firstSeed);
    }
    else
    {
        report.WriteTo(Console.Out, firstSeed);
    }
    foreach (var quantity in report.Short)
        Console.Error.WriteLine($"holds the truth too seldom: {quantity}");
    return report.Short.Count == 0 ? 0 : 1;
});

var samples = new Option<int>("--samples") { Description = "Samples a cell.", DefaultValueFactory = _ => 4000 };
var seed = new Option<ulong>("--seed") { Description = "The seed; each cell makes its own of it.", DefaultValueFactory = _ => 20261128UL };
var results = new Option<FileInfo>("--results")
{
    Description = "Results by cell; cells that stand there are not run again.",
    DefaultValueFactory = _ => new("prediction-study.tsv"),
};
var only = new Option<string>("--only") { Description = "Run only cells whose name holds this.", DefaultValueFactory = _ => "" };
var threads = new Option<int>("--threads") { Description = "Cells at a time.", DefaultValueFactory = _ => 1 };
var prediction = new Command("prediction", "How often one more unit's life ends within predicted intervals.")
{
    samples, seed, results, only, threads,
};
prediction.SetAction(parsed => PredictionResults.Run(
    parsed.GetValue(samples), parsed.GetValue(seed), parsed.GetValue(results)!, parsed.GetValue(only)!, parsed.GetValue(threads)));

return new RootCommand("Studies by simulation. Their results stand in docs/validation.") { coverage, CoverageCommand.Create(), FreshCommand.Create(), SimulatedCommand.Create(), RatioStudy.Create(), prediction }.Parse(args).Invoke();
