using System.CommandLine;
using Reliability.Engine;
using Reliability.Studies.BoundsCoverage;

namespace Reliability.Studies.FreshCoverage;

/// <summary>The second look at bounds, as a command.</summary>
internal static class FreshCommand
{
    public static Command Create()
    {
        var seed = new Option<int>("--seed") { Description = "The seed; another than that of the study of coverage.", DefaultValueFactory = _ => 20270115 };
        var threads = new Option<int>("--threads") { Description = "Cells at a time.", DefaultValueFactory = _ => 1 };
        var only = new Option<string>("--only") { Description = "Only the set of this name.", DefaultValueFactory = _ => "" };
        var folder = new Option<DirectoryInfo>("--cells") { Description = "Where each cell's file is kept.", DefaultValueFactory = _ => new("docs/validation/fresh-cells") };
        var asFar = new Option<bool>("--as-far") { Description = "Simulate nothing: the page of the cells that are there." };
        var page = new Option<FileInfo>("--out") { Description = "The page to write.", DefaultValueFactory = _ => new("docs/validation/fresh.md") };
        var command = new Command("fresh-coverage", "A second look, on other cells and seeds, at what the study of coverage said.") { seed, threads, only, folder, asFar, page };
        command.SetAction(parsed =>
        {
            var catalog = BuiltInLifeModels.CreateCatalog();
            var directory = parsed.GetValue(folder)!;
            directory.Create();
            var first = parsed.GetValue(seed);
            var wanted = parsed.GetValue(only)!;
            var work = FreshSet.All.Where(set => wanted.Length == 0 || set.Name == wanted).SelectMany(set => set.Cells, (set, cell) => (set, cell))
                .Where(row => !parsed.GetValue(asFar) && !File.Exists(FileOf(directory, row.set, row.cell, first))).ToList();
            Parallel.ForEach(work, new ParallelOptions { MaxDegreeOfParallelism = parsed.GetValue(threads) }, row =>
            {
                catalog.TryGet(row.cell.Model, out var model);
                CellResult.Of(row.cell, model!, [row.set.Method], row.set.Samples, first, row.set.Quantities, row.set.ExactFailures)
                    .Write(FileOf(directory, row.set, row.cell, first));
                Console.Error.WriteLine($"done: {row.set.Name} {row.cell.Name}");
            });
            var done = FreshSet.All.Select(set => (set, Rows: set.Cells.Where(cell => File.Exists(FileOf(directory, set, cell, first)))
                .Select(cell => (cell, CellResult.Read(FileOf(directory, set, cell, first)))).ToList())).ToDictionary(row => row.set, row => row.Rows);
            File.WriteAllText(parsed.GetValue(page)!.FullName, new FreshPage(done, first).Text().ReplaceLineEndings("\n"));
        });
        return command;
    }

    private static string FileOf(DirectoryInfo directory, FreshSet set, Cell cell, int seed) =>
        Path.Combine(directory.FullName, $"{set.Name}-{cell.Name}-{set.Samples}-{seed}.tsv");
}
