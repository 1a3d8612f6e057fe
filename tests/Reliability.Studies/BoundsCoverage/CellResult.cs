using System.Globalization;
using Reliability.Engine.Abstractions;

namespace Reliability.Studies.BoundsCoverage;

/// <summary>What came out of a cell; kept in a file of its own, so that a study that was stopped goes on where it was.</summary>
internal sealed class CellResult
{
    public CellResult(int samples, int without, IReadOnlyList<Tally> tallies) => (Samples, Without, Tallies) = (samples, without, tallies);

    /// <summary>Samples drawn.</summary>
    public int Samples { get; }

    /// <summary>Samples without an estimate, or with fewer than two failures.</summary>
    public int Without { get; }

    public IReadOnlyList<Tally> Tallies { get; }

    /// <summary>Runs a cell.</summary>
    /// <param name="cell">The cell.</param>
    /// <param name="model">Its life model.</param>
    /// <param name="methods">The kinds of bounds.</param>
    /// <param name="samples">Samples to draw.</param>
    /// <param name="seed">Seed of the study; each sample has its own from it.</param>
    /// <param name="wanted">Names of the quantities; all when null.</param>
    /// <param name="exactFailures">Count only samples with so many failures; null for two or more.</param>
    public static CellResult Of(
        Cell cell, ILifeModel model, IReadOnlyList<BoundsMethod> methods, int samples, int seed, IReadOnlyList<string>? wanted = null,
        int? exactFailures = null)
    {
        var quantities = cell.Quantities.Where(q => wanted?.Contains(q.Name) ?? true).ToList();
        var tallies = methods.Select(method => quantities.Select(q => new Tally($"{method}", q.Name)).ToArray()).ToArray();
        var without = 0;
        for (var i = 0; i < samples; i++)
        {
            var sample = cell.Sample(seed, i);
            var counts = exactFailures is { } exact ? sample.FailureCount == exact : sample.FailureCount >= 2;
            if (!counts || !model.Fit(sample, FitOptions.Default).TryGet(out _, out _))
            {
                without++;
                continue;
            }

            for (var m = 0; m < methods.Count; m++)
            {
                if (!model.Fit(sample, new FitOptions { BoundsMethod = methods[m], Seed = (ulong)i }).TryGet(out var fit, out _))
                    continue;
                for (var q = 0; q < quantities.Count; q++)
                    Count(tallies[m][q], quantities[q].Ask(fit), quantities[q].Truth, fit.Warnings);
            }
        }

        return new(samples, without, [.. tallies.SelectMany(row => row)]);
    }

    public static CellResult Read(string path)
    {
        var lines = File.ReadAllLines(path);
        var head = lines[0].Split('\t');
        return new(
            int.Parse(head[0], CultureInfo.InvariantCulture), int.Parse(head[1], CultureInfo.InvariantCulture),
            [.. lines.Skip(1).Select(Tally.Read)]);
    }

    public void Write(string path)
    {
        // Whole or not at all: a file that is there is a cell that is done.
        File.WriteAllLines(path + ".part", [$"{Samples}\t{Without}", .. Tallies.Select(tally => tally.Line)]);
        File.Move(path + ".part", path, overwrite: true);
    }

    private static void Count(Tally tally, BoundedEstimate estimate, double truth, IReadOnlyList<EngineWarning> ofFit)
    {
        tally.Count(estimate, truth);
        bool Says(IEnumerable<EngineWarning> notes, string code) => notes.Any(note => note.Code == code);
        var isWarned = Says(estimate.Notes.Concat(ofFit), WarningCodes.CalibrationLimited);
        tally.Warned = (tally.Warned ?? 0) + (isWarned ? 1 : 0);
        tally.QuietBelow = (tally.QuietBelow ?? 0) + (!isWarned && truth < estimate.Lower ? 1 : 0);
        tally.QuietAbove = (tally.QuietAbove ?? 0) + (!isWarned && truth > estimate.Upper ? 1 : 0);
        tally.Instead += Says(estimate.Notes, WarningCodes.BoundsByLikelihoodRatio) ? 1 : 0;
        tally.Simulated = (tally.Simulated ?? 0) + (Says(estimate.Notes, WarningCodes.BoundsByBootstrap) ? 1 : 0);
    }
}
