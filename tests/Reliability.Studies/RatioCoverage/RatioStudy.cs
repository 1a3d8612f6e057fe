using System.CommandLine;
using System.Globalization;
using Reliability.Engine;
using Reliability.Engine.Abstractions;
using Reliability.Studies.BoundsCoverage;

namespace Reliability.Studies.RatioCoverage;

/// <summary>How often bounds of ratios of two cohorts hold the truth, as a command. Two cells of the coverage study are a cell here.</summary>
internal static class RatioStudy
{
    private static readonly string[] Names = [CohortEffectNames.B10Ratio, CohortEffectNames.MeanRatio];
    private static readonly BoundsMethod[] Methods = [BoundsMethod.LikelihoodRatio, BoundsMethod.Calibrated];

    private static readonly (Cell First, Cell Second)[] Pairs =
    [
        Pair("weibull", StudyPlan.FailureTerminated, 5, 5, 2, 2), Pair("weibull", StudyPlan.Staggered, 6, 6, 2, 2),
        Pair("weibull", StudyPlan.TimeTerminated, 6, 12, 2, 1.2), Pair("weibull", StudyPlan.Fleet, 8, 20, 2, 3),
        Pair("weibull", StudyPlan.LateEntry, 10, 10, 2, 2), Pair("lognormal", StudyPlan.Staggered, 8, 8, 2, 2),
        Pair("weibull", StudyPlan.Staggered, 20, 20, 2, 2),
    ];

    public static Command Create()
    {
        var samples = new Option<int>("--samples") { Description = "Pairs of samples a cell.", DefaultValueFactory = _ => 2000 };
        var seed = new Option<int>("--seed") { Description = "The seed.", DefaultValueFactory = _ => 20261128 };
        var folder = new Option<DirectoryInfo>("--cells") { Description = "Where each cell's file is kept.", DefaultValueFactory = _ => new("docs/validation/ratio-cells") };
        var asFar = new Option<bool>("--as-far") { Description = "Simulate nothing: the page of the cells that are there." };
        var page = new Option<FileInfo>("--out") { Description = "The page to write.", DefaultValueFactory = _ => new("docs/validation/ratios.md") };
        var command = new Command("ratios", "How often bounds of ratios of two cohorts hold the truth.") { samples, seed, folder, asFar, page };
        command.SetAction(parsed =>
        {
            var directory = parsed.GetValue(folder)!;
            directory.Create();
            var rows = new List<(Cell First, Cell Second, Tally Tally)>();
            foreach (var (first, second) in Pairs)
            {
                var name = $"{first.Name}-{second.Name}";
                var path = Path.Combine(directory.FullName, $"{name}-{parsed.GetValue(samples)}-{parsed.GetValue(seed)}.tsv");
                if (!File.Exists(path) && parsed.GetValue(asFar))
                    continue;
                if (!File.Exists(path))
                {
                    var lines = Run(first, second, parsed.GetValue(samples), parsed.GetValue(seed));
                    File.WriteAllLines(path + ".part", lines);
                    File.Move(path + ".part", path);
                    Console.Error.WriteLine($"done: {name}");
                }

                rows.AddRange(File.ReadAllLines(path).Select(line => (first, second, Tally.Read(line))));
            }

            File.WriteAllText(parsed.GetValue(page)!.FullName, Page(parsed.GetValue(samples), parsed.GetValue(seed), rows).ReplaceLineEndings("\n"));
        });
        return command;
    }

    private static (Cell First, Cell Second) Pair(
        string model, StudyPlan plan, int firstFailures, int secondFailures, double firstShape, double secondShape) =>
        (new(model, plan, firstFailures, 0.5, firstShape), new(model, plan, secondFailures, 0.5, secondShape));

    private static IEnumerable<string> Run(Cell first, Cell second, int samples, int seed)
    {
        BuiltInLifeModels.CreateCatalog().TryGet(first.Model, out var model);
        var comparer = (ICohortComparer)model!;
        var tallies = Methods.SelectMany(_ => Names, (method, name) => new Tally($"{method}", name)).ToList();
        var truths = Names.Select(name => Truth(second, name) / Truth(first, name)).ToArray();
        for (var i = 0; i < samples; i++)
        {
            var random = new Random(unchecked(seed + i * 7919));
            var (one, other) = (first.Sample(random), second.Sample(random));
            if (one.FailureCount < 2 || other.FailureCount < 2)
                continue;
            for (var m = 0; m < Methods.Length; m++)
            {
                var effects = comparer.Compare([one, other], new FitOptions { BoundsMethod = Methods[m] }).Effects;
                for (var q = 0; q < Names.Length; q++)
                {
                    if (effects.Single(e => e.Name == Names[q]).Ratio is { Value: not null } ratio)
                        Count(tallies[m * Names.Length + q], ratio, truths[q]);
                }
            }
        }

        return tallies.Select(tally => tally.Line);
    }

    private static double Truth(Cell cell, string name) =>
        cell.Quantities.Single(q => q.Name == (name == CohortEffectNames.B10Ratio ? "B10" : "mean")).Truth;

    private static void Count(Tally tally, BoundedEstimate ratio, double truth)
    {
        tally.Count(ratio, truth);
        tally.Instead += ratio.Notes.Any(note => note.Code == WarningCodes.BoundsByLikelihoodRatio) ? 1 : 0;
    }

    private static string Said(IEnumerable<Tally> tallies, BoundsMethod method)
    {
        var of = tallies.Where(t => t.Method == $"{method}").ToList();
        return string.Create(
            CultureInfo.InvariantCulture,
            $"held {of.Min(t => t.Covered):0.0} to {of.Max(t => t.Covered):0.0} %, either side missed in {of.Min(t => Math.Min(t.BelowShare, t.AboveShare)):0.0} to {of.Max(t => Math.Max(t.BelowShare, t.AboveShare)):0.0} %");
    }

    private static string Row(Cell first, Cell second, Tally t) => string.Create(
        CultureInfo.InvariantCulture,
        $"| {first.Name} | {second.Name} | {t.Method} | {t.Quantity} | {t.Of} | {t.Covered:0.0} | {t.BelowShare:0.0} | {t.AboveShare:0.0} | {t.Instead} |");

    private static string Page(int samples, int seed, List<(Cell First, Cell Second, Tally Tally)> rows) => string.Create(CultureInfo.InvariantCulture, $"""
        # How often bounds of ratios of two cohorts hold the truth

        95 % two-sided bounds of the ratio of the second cohort's life over the first's, {samples:N0} simulated pairs of samples a cell, seed {seed};
        one command, resumable by cell. Cells are pairs of those of [coverage.md](coverage.md). Samples with fewer than two failures are left
        out (column "of"). Standard error: {100 * Math.Sqrt(0.95 * 0.05 / samples):0.00} points at 95 %, {100 * Math.Sqrt(0.025 * 0.975 / samples):0.00} at 2.5 %.

        ```
        dotnet run -c Release --project tests/Reliability.Studies -- ratios
        ```

        Calibrated bounds {Said(rows.Select(row => row.Tally), BoundsMethod.Calibrated)}; likelihood-ratio bounds {Said(rows.Select(row => row.Tally), BoundsMethod.LikelihoodRatio)}.

        | first | second | bounds | ratio | of | held % | truth below % | truth above % | not r\* |
        |---|---|---|---|--:|--:|--:|--:|--:|
        {string.Join("\n", rows.Select(row => Row(row.First, row.Second, row.Tally)))}

        """);
}
