using Reliability.Engine.Abstractions;

namespace Reliability.Analysis.Tests;

/// <summary>Data sets from published studies.</summary>
internal static class Published
{
    /// <summary>Failures of 20 units run for 500 h, ten survivors: NIST/SEMATECH e-Handbook of Statistical Methods, 8.4.1.3.</summary>
    public static readonly double[] NistFailures = [54, 187, 216, 240, 244, 335, 361, 373, 375, 386];

    public static LifeSample Nist()
    {
        var rows = new LifeSampleBuilder();
        foreach (var hours in NistFailures)
            rows.AddFailed(hours);
        return rows.AddSurvived(500, count: 10).Build();
    }

    /// <summary>Weeks in remission on placebo: Freireich et al., Blood 21 (1963); Kalbfleisch and Prentice 2002, 1.</summary>
    public static LifeSample Placebo()
    {
        var rows = new LifeSampleBuilder();
        foreach (var weeks in new double[] { 1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23 })
            rows.AddFailed(weeks);
        return rows.Build();
    }

    /// <summary>Weeks in remission on 6-mercaptopurine, same study.</summary>
    public static LifeSample Mercaptopurine()
    {
        var rows = new LifeSampleBuilder();
        foreach (var weeks in new double[] { 6, 6, 6, 7, 10, 13, 16, 22, 23 })
            rows.AddFailed(weeks);
        foreach (var weeks in new double[] { 6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35 })
            rows.AddSurvived(weeks);
        return rows.Build();
    }
}
