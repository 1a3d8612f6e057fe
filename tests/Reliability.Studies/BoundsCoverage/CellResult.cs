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
    public static CellResult Of(Cell cell, ILifeModel model, IReadOnlyList<BoundsMethod> methods, int samples, int seed)
    {
        var quantities = cell.Quantities;
        var tallies = methods.Select(method => quantities.Select(q => new Tally($"{method}", q.Name)).ToArray()).ToArray();
        var without = 0;
        for (var i = 0; i < samples; i++)
        {
            var sample = cell.Sample(seed, i);
            if (sample.FailureCount < 2 || !model.Fit(sample, FitOptions.Default).TryGet(out _, out _))
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
        tally.Warned ??= 0;
        if (estimate.Notes.Concat(ofFit).Any(note => note.Code == WarningCodes.CalibrationLimited))
            tally.Warned++;
        if (estimate.Notes.Any(note => note.Code == WarningCodes.BoundsByLikelihoodRatio))
            tally.Instead++;
    }
}
