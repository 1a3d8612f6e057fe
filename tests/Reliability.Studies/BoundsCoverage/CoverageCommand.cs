using System.CommandLine;
using Reliability.Engine;
using Reliability.Engine.Abstractions;

namespace Reliability.Studies.BoundsCoverage;

/// <summary>The study of coverage as a command.</summary>
internal static class CoverageCommand
{
    private static readonly BoundsMethod[] Deterministic =
        [BoundsMethod.LikelihoodRatio, BoundsMethod.NormalApproximation, BoundsMethod.Calibrated];

    public static Command Create()
    {
        var samples = new Option<int>("--samples") { Description = "Samples a cell.", DefaultValueFactory = _ => 4000 };
        var seed = new Option<int>("--seed") { Description = "The seed.", DefaultValueFactory = _ => 20261128 };
        var threads = new Option<int>("--threads") { Description = "Cells at a time.", DefaultValueFactory = _ => 1 };
        var only = new Option<string>("--only") { Description = "Cells whose name holds this.", DefaultValueFactory = _ => "" };
        var folder = new Option<DirectoryInfo>("--cells") { Description = "Where each cell's file is kept.", DefaultValueFactory = _ => new("docs/validation/coverage-cells") };
        var asFar = new Option<bool>("--as-far") { Description = "Simulate nothing: the page of the cells that are there." };
        var page = new Option<FileInfo?>("--out") { Description = "The page to write; printed when not given." };
        var command = new Command("coverage", "How often bounds hold the truth.") { samples, seed, threads, only, folder, asFar, page };
        command.SetAction(parsed =>
        {
            var catalog = BuiltInLifeModels.CreateCatalog();
            var (count, first) = (parsed.GetValue(samples), parsed.GetValue(seed));
            var directory = parsed.GetValue(folder)!;
            directory.Create();
            var cells = Cells.All.Where(cell => cell.Name.Contains(parsed.GetValue(only)!, StringComparison.Ordinal) && catalog.TryGet(cell.Model, out _)).ToList();
            var planned = cells.Count;
            if (parsed.GetValue(asFar))
                cells.RemoveAll(cell => !File.Exists(FileOf(directory, cell, count, first)));
            Parallel.ForEach(cells, new ParallelOptions { MaxDegreeOfParallelism = parsed.GetValue(threads) }, cell =>
            {
                var path = FileOf(directory, cell, count, first);
                if (File.Exists(path))
                    return;
                catalog.TryGet(cell.Model, out var model);
                CellResult.Of(cell, model!, Deterministic, count, first).Write(path);
                Console.Error.WriteLine($"done: {cell.Name}");
            });
            var text = new CoveragePage([.. cells.Select(cell => (cell, CellResult.Read(FileOf(directory, cell, count, first))))], planned, count, first).Text()
                .ReplaceLineEndings("\n");
            if (parsed.GetValue(page) is { } file)
                File.WriteAllText(file.FullName, text);
            else
                Console.Out.Write(text);
        });
        return command;
    }

    private static string FileOf(DirectoryInfo directory, Cell cell, int samples, int seed) =>
        Path.Combine(directory.FullName, $"{cell.Name}-{samples}-{seed}.tsv");
}
