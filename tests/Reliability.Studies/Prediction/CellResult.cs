using System.Globalization;

namespace Reliability.Studies.Prediction;

/// <summary>What came of one method at one age in one cell.</summary>
/// <param name="Cell">The cell.</param>
/// <param name="Method">The method.</param>
/// <param name="Age">Age of the predicted unit, in median lives.</param>
/// <param name="Samples">Samples drawn.</param>
/// <param name="Seed">Seed of the study.</param>
/// <param name="None">Samples without a prediction.</param>
/// <param name="Shares">True chance of ending before each quantile.</param>
/// <param name="Errors">Monte Carlo standard errors.</param>
/// <param name="Warned">Samples whose prediction carries PREDICTION_LIMITED; null in runs from before there was such a warning.</param>
internal sealed record CellResult(
    string Cell, string Method, double Age, int Samples, ulong Seed, int None, double[] Shares, double[] Errors, int? Warned)
{
    /// <summary>A line of the results file.</summary>
    public string ToLine() => string.Join('\t', ((FormattableString[])
        [$"{Cell}", $"{Method}", $"{Age}", $"{Samples}", $"{Seed}", $"{None}", $"{Join(Shares)}", $"{Join(Errors)}", $"{Warned}"])
        .Select(FormattableString.Invariant));

    /// <summary>Reads a line.</summary>
    public static CellResult Of(string line)
    {
        var parts = line.Split('\t');
        return new(
            parts[0], parts[1], Number(parts[2]), int.Parse(parts[3], CultureInfo.InvariantCulture),
            ulong.Parse(parts[4], CultureInfo.InvariantCulture), int.Parse(parts[5], CultureInfo.InvariantCulture),
            [.. parts[6].Split(' ').Select(Number)], [.. parts[7].Split(' ').Select(Number)],
            parts.Length > 8 && parts[8].Length > 0 ? int.Parse(parts[8], CultureInfo.InvariantCulture) : null);
    }

    private static string Join(double[] values) =>
        string.Join(' ', values.Select(v => v.ToString("0.00000", CultureInfo.InvariantCulture)));

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);
}
