using Grpc.Core;
using Reliability.PlugIn.V1;

namespace RankRegression;

/// <summary>An estimator that gives parameters and their covariance, and the family out of which the host answers everything else.</summary>
internal sealed class PlugIn : LifeModelPlugInService.LifeModelPlugInServiceBase
{
    private const string Id = "weibull-rank-regression";
    private const string Family = "example-weibull";

    // The jackknife takes as many fits as lives.
    private const int MostLives = 2000;

    private static readonly Note NoBounds = new() { Code = "NO_BOUNDS", Text = "There are no bounds: without one of the lives fewer than two ages at failure are left." };

    private static ParameterDescription[] Parameters =>
    [
        new() { Name = "shape", Lower = 0, Transform = ParameterTransform.Log },
        new() { Name = "scale", Unit = "hours", Lower = 0, Transform = ParameterTransform.Log },
    ];

    private static PlotScale Paper => new() { Hours = HoursScale.Log, Fraction = FractionScale.Weibull };

    public override Task<DescribeResponse> Describe(DescribeRequest request, ServerCallContext context) => Task.FromResult(new DescribeResponse
    {
        Id = "example-rank-regression",
        Version = "1.0.0",
        Publisher = "Example in C#",
        Families =
        {
            new FamilyDescription
            {
                Id = Family,
                DisplayName = "Weibull of the example",
                Source = "Weibull 1951",
                Parameters = { Parameters },
                ScaleEquivariant = true,
                Plot = Paper,
            },
        },
        Estimators =
        {
            new EstimatorDescription
            {
                Id = Id,
                DisplayName = "Weibull by rank regression",
                Source = "Johnson 1964; Benard and Bos-Levenbach 1953; covariance by the jackknife, Efron 1982",
                Parameters = { Parameters },
                ScaleEquivariant = true,
                BoundsMethods = { BoundsMethod.NormalApproximation },
                Plot = Paper,
                Family = Family,
            },
        },
    });

    public override async Task<FitResponse> Fit(IAsyncStreamReader<FitRequest> requestStream, ServerCallContext context)
    {
        var lives = new List<(double Hours, bool Failed)>();
        await foreach (var request in requestStream.ReadAllAsync(context.CancellationToken))
        {
            if (request.PartCase == FitRequest.PartOneofCase.Start)
                continue;
            var rows = request.Rows;
            for (var i = 0; i < rows.Outcomes.Count; i++)
            {
                var count = rows.Counts.Count > 0 ? rows.Counts[i] : 1;
                if (rows.Outcomes[i] == LifeOutcome.Between || (rows.EntryHours.Count > 0 && rows.EntryHours[i] > 0))
                    return No("ROW_NOT_TAKEN", "Rank regression takes failures at known ages and survivors, watched from the start.");
                if (count != Math.Floor(count) || lives.Count + count > MostLives)
                    return No("COUNT_NOT_TAKEN", "Rank regression takes whole lives, at most two thousand.");
                lives.AddRange(Enumerable.Repeat((rows.LowerHours[i], rows.Outcomes[i] == LifeOutcome.Failed), (int)count));
            }
        }

        if (RankedLives.Of(lives) is not { } estimate)
            return No("TOO_FEW_FAILURES", "Rank regression needs failures at two ages.");
        var fitted = new FittedLife
        {
            BoundsMethod = BoundsMethod.NormalApproximation,
            Parameters = { new Estimate { Value = estimate.Shape }, new Estimate { Value = estimate.Scale } },
        };

        // No state: the host answers out of the family, with bounds by the delta method where there is a covariance.
        if (RankedLives.Covariance(lives, context.CancellationToken) is { } covariance)
            fitted.Covariance.Add(covariance);
        else
            fitted.Warnings.Add(NoBounds);
        return new FitResponse { Fitted = fitted };
    }

    public override Task<EvaluateResponse> Evaluate(EvaluateRequest request, ServerCallContext context) =>
        Task.FromResult(new EvaluateResponse { Results = { request.Batches.Select(WeibullFamily.At) } });

    private static FitResponse No(string reason, string text) => new() { NotEstimable = new NotEstimable { Reason = reason, Text = text } };
}
