using System.CommandLine;
using Reliability.Engine;
using Reliability.Engine.Resampling;
using Reliability.Studies.BoundsCoverage;

namespace Reliability.Studies.BootstrapCoverage;

/// <summary>The study of simulated and exact bounds as a command.</summary>
internal static class SimulatedCommand
{
    // All plans and models, from five failures on; simulation takes too long for every cell of the larger study.
    private static readonly Cell[] Chosen =
    [
        new("weibull", StudyPlan.FailureTerminated, 5, 0, 2),
        new("weibull", StudyPlan.FailureTerminated, 5, 0.5, 2),
        new("weibull", StudyPlan.TimeTerminated, 5, 0.5, 2),
        new("weibull", StudyPlan.Staggered, 5, 0.5, 2),
        new("weibull", StudyPlan.FailureTerminated, 20, 0.5, 2),
        new("weibull", StudyPlan.TimeTerminated, 20, 0.5, 2),
        new("weibull", StudyPlan.Staggered, 10, 0.9, 2),
        new("lognormal", StudyPlan.FailureTerminated, 6, 0.5, 2),
        new("lognormal", StudyPlan.TimeTerminated, 6, 0.5, 2),
        new("loglogistic", StudyPlan.Staggered, 6, 0.5, 2),
        new("weibull", StudyPlan.LateEntry, 10, 0.5, 2),
        new("weibull", StudyPlan.Fleet, 10, 0.8, 2),
        new("weibull", StudyPlan.Inspected, 12, 0.5, 2),
    ];

    public static Command Create()
    {
        var samples = new Option<int>("--samples") { Description = "Samples a cell.", DefaultValueFactory = _ => 1000 };
        var seed = new Option<int>("--seed") { Description = "The seed.", DefaultValueFactory = _ => 20261128 };
        var threads = new Option<int>("--threads") { Description = "Threads of a simulation.", DefaultValueFactory = _ => 1 };
        var folder = new Option<DirectoryInfo>("--cells") { Description = "Where each cell's file is kept.", DefaultValueFactory = _ => new("docs/validation/bootstrap-cells") };
        var asFar = new Option<bool>("--as-far") { Description = "Simulate nothing: the page of the cells that are there." };
        var page = new Option<FileInfo?>("--out") { Description = "The page to write; printed when not given." };
        var command = new Command("bootstrap-coverage", "How often simulated and exact bounds hold the truth.") { samples, seed, threads, folder, asFar, page };
        command.SetAction(parsed =>
        {
            var catalog = BuiltInLifeModels.CreateCatalog();
            var (count, first) = (parsed.GetValue(samples), parsed.GetValue(seed));
            var directory = parsed.GetValue(folder)!;
            directory.Create();
            Resampler.Threads = parsed.GetValue(threads);
            var done = new List<(Cell, CellResult)>();
            foreach (var cell in Chosen)
            {
                var path = Path.Combine(directory.FullName, $"{cell.Name}-{count}-{first}.tsv");
                if (!File.Exists(path) && !parsed.GetValue(asFar) && catalog.TryGet(cell.Model, out var model))
                {
                    SimulatedCell.Of(cell, model, count, first).Write(path);
                    Console.Error.WriteLine($"done: {cell.Name}");
                }

                if (File.Exists(path))
                    done.Add((cell, CellResult.Read(path)));
            }

            var text = new SimulatedPage(done, Chosen.Length, count, first).Text().ReplaceLineEndings("\n");
            if (parsed.GetValue(page) is { } file)
                File.WriteAllText(file.FullName, text);
            else
                Console.Out.Write(text);
        });
        return command;
    }
}
