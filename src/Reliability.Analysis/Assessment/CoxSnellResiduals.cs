using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>
/// Residuals of Cox and Snell (JRSS B 30 (1968) 248-275): -log R at each end of the sample. When the model is right they are lives of a unit
/// exponential, censored and entered as the lives were, so that their cumulative hazard is the residual itself.
/// </summary>
internal static class CoxSnellResiduals
{
    private const int MostRows = 10_000;

    /// <summary>The residuals by row; a reason where there are none.</summary>
    public static Estimable<IReadOnlyList<CoxSnellResidual>> Of(
        ILifeFamily? family, IFittedLife fit, LifeSample sample, INonparametricEstimator nonparametric, CancellationToken cancellationToken)
    {
        double[] parameters = [.. fit.Parameters.Select(p => p.Estimate.Value ?? double.NaN)];
        if (family is null || !Array.TrueForAll(parameters, double.IsFinite))
            return new NotEstimable(AnalysisWarningCodes.NoResiduals, "There are no residuals: the fit shows no distribution.");
        if (sample.RowCount > MostRows)
        {
            return new NotEstimable(
                AnalysisWarningCodes.NoResiduals, $"There are no residuals: the sample has more than {MostRows:N0} rows; look at the plot instead.");
        }

        var (ends, uppers, entries) = (
            At(family, parameters, sample.LowerHours), At(family, parameters, sample.UpperHours), At(family, parameters, sample.EntryHours));
        if (!ends.Concat(uppers).Concat(entries).All(double.IsFinite))
            return new NotEstimable(AnalysisWarningCodes.NoResiduals, "There are no residuals: some cannot be written as numbers.");
        var hazards = CumulativeHazards(sample, ends, entries, nonparametric, cancellationToken);
        var residuals = new CoxSnellResidual[sample.RowCount];
        for (var i = 0; i < residuals.Length; i++)
        {
            var outcome = sample.Outcomes[i];
            residuals[i] = new(
                ends[i], outcome == LifeOutcome.Between ? uppers[i] : null, entries[i], outcome == LifeOutcome.Survived, sample.Counts[i],
                outcome == LifeOutcome.Failed && hazards.TryGetValue(ends[i], out var hazard) ? hazard : null);
        }

        return Estimable<IReadOnlyList<CoxSnellResidual>>.Of(residuals);
    }

    private static double[] At(ILifeFamily family, double[] parameters, ReadOnlySpan<double> hours)
    {
        var values = new double[hours.Length];
        family.LogSurvival(parameters, hours, values);
        for (var i = 0; i < values.Length; i++)
            values[i] = hours[i] > 0 ? Math.Max(0, -values[i]) : 0;
        return values;
    }

    /// <summary>The estimate of Nelson and Aalen by residual; empty where failures lie between two ages, or residuals fall together.</summary>
    private static Dictionary<double, double> CumulativeHazards(
        LifeSample sample, double[] ends, double[] entries, INonparametricEstimator nonparametric, CancellationToken cancellationToken)
    {
        var builder = new LifeSampleBuilder(ends.Length);
        for (var i = 0; i < ends.Length; i++)
        {
            if (sample.Outcomes[i] == LifeOutcome.Between)
                return [];
            var isFailed = sample.Outcomes[i] == LifeOutcome.Failed;
            if (!(entries[i] < ends[i]))
            {
                // A survivor of no length says nothing; a failure of none cannot be placed.
                if (isFailed)
                    return [];
                continue;
            }

            _ = isFailed
                ? builder.AddFailed(ends[i], entries[i], sample.Counts[i])
                : builder.AddSurvived(ends[i], entries[i], sample.Counts[i]);
        }

        return nonparametric.Estimate(builder.Build(), 0.95, cancellationToken).TryGet(out var estimate, out _)
            ? estimate.Points.Where(p => p.CumulativeHazard.Value is not null).ToDictionary(p => p.Hours, p => p.CumulativeHazard.Value!.Value)
            : [];
    }
}
