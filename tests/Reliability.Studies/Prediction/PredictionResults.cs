namespace Reliability.Studies.Prediction;

/// <summary>Runs the cells that are missing from a results file, adds them to it, and prints the table of all that stand there.</summary>
internal static class PredictionResults
{
    /// <summary>Runs and adds.</summary>
    public static int Run(int samples, ulong seed, FileInfo results, string only, int threads)
    {
        var writing = new Lock();
        var known = results.Exists ? File.ReadAllLines(results.FullName).Select(CellResult.Of).ToList() : [];
        var done = known.Where(r => r.Samples == samples && r.Seed == seed).Select(r => r.Cell).ToHashSet();
        var cells = PredictionCell.All().Where(c => c.Id.Contains(only, StringComparison.Ordinal) && !done.Contains(c.Id));
        Parallel.ForEach(cells, new ParallelOptions { MaxDegreeOfParallelism = threads }, cell =>
        {
            var found = PredictionStudy.Run(cell, samples, seed);
            lock (writing)
                File.AppendAllLines(results.FullName, found.Select(r => r.ToLine()));
            Console.Error.WriteLine(cell.Id);
        });

        foreach (var line in PredictionTable.Lines(File.Exists(results.FullName) ? File.ReadAllLines(results.FullName).Select(CellResult.Of) : []))
            Console.Out.WriteLine(line);
        return 0;
    }
}
