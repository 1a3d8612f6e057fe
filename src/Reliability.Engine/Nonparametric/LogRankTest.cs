using MathNet.Numerics.LinearAlgebra;
using Reliability.Engine.Abstractions;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Nonparametric;

/// <summary>
/// Log-rank test of k cohorts: observed less expected failures at each age, with hypergeometric covariance, late entry by
/// risk sets (Mantel 1966; Kalbfleisch and Prentice 2002, 1.5).
/// </summary>
internal static class LogRankTest
{
    public static CohortTest Of(IReadOnlyList<LifeSample> cohorts, CancellationToken cancellationToken)
    {
        if (cohorts.Count < 2)
            throw new UnsupportedRequestException("groups", "A comparison needs two or more cohorts.");
        var degrees = cohorts.Count - 1;
        foreach (var cohort in cohorts)
        {
            if (RiskSets.Refusal(cohort) is { } refusal)
                return new CohortTest(CohortTestNames.LogRank, null, degrees, null, refusal);
        }

        var hours = RiskSets.DistinctFailureHours(cohorts);
        if (hours.Length == 0)
        {
            return new CohortTest(
                CohortTestNames.LogRank, null, degrees, null,
                new NotEstimable(NotEstimableReasons.NoFailures, "No life of either cohort has failed."));
        }

        var sets = cohorts.Select(c => RiskSets.At(c, hours)).ToArray();
        var difference = new double[degrees];
        var covariance = Matrix<double>.Build.Dense(degrees, degrees);
        for (var t = 0; t < hours.Length; t++)
        {
            if (t % 4096 == 0)
                cancellationToken.ThrowIfCancellationRequested();
            var atRisk = sets.Sum(s => s.AtRisk[t]);
            var failed = sets.Sum(s => s.Failures[t]);
            for (var i = 0; i < degrees; i++)
            {
                var share = sets[i].AtRisk[t] / atRisk;
                difference[i] += sets[i].Failures[t] - failed * share;
                if (atRisk <= 1)
                    continue;
                var weight = failed * (atRisk - failed) / (atRisk - 1);
                for (var j = 0; j < degrees; j++)
                    covariance[i, j] += weight * share * ((i == j ? 1 : 0) - sets[j].AtRisk[t] / atRisk);
            }
        }

        var vector = Vector<double>.Build.Dense(difference);
        var solved = covariance.Determinant() > 0 ? covariance.Solve(vector) : null;
        var statistic = solved?.DotProduct(vector) ?? double.NaN;
        return double.IsFinite(statistic) && statistic >= 0
            ? new CohortTest(
                CohortTestNames.LogRank, statistic, degrees, ReferenceDistributions.ChiSquareUpperTail(degrees, statistic))
            : new CohortTest(
                CohortTestNames.LogRank, null, degrees, null,
                new NotEstimable(
                    NotEstimableReasons.NoCommonRisk,
                    "No age of failure tells the cohorts apart: they were never at risk together, or all at risk failed at once."));
    }
}
