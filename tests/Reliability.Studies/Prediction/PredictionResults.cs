namespace Reliability.Studies.Prediction;

/// <summary>Runs the cells that are missing from a results file and adds them to it.</summary>
internal static class PredictionResults
{
    /// <summary>Runs and adds.</summary>
    public static int Run(int samples, ulong seed, FileInfo results, string only)
    {
        var known = results.Exists ? File.ReadAllLines(results.FullName).Select(CellResult.Of).ToList() : [];
        var done = known.Where(r => r.Samples == samples && r.Seed == seed).Select(r => r.Cell).ToHashSet();
        foreach (var cell in PredictionCell.All().Where(c => c.Id.Contains(only, StringComparison.Ordinal) && !done.Contains(c.Id)))
        {
            var found = PredictionStudy.Run(cell, samples, seed);
            File.AppendAllLines(results.FullName, found.Select(r => r.ToLine()));
            Console.Error.WriteLine(cell.Id);
        }

        return 0;
    }
}
