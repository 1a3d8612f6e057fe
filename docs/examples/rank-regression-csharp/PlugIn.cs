using Google.Protobuf;
using Grpc.Core;
using Reliability.PlugIn.V1;

namespace RankRegression;

/// <summary>An estimator that gives values without bounds, and says so.</summary>
internal sealed class PlugIn : LifeModelPlugInService.LifeModelPlugInServiceBase
{
    private const string Id = "weibull-rank-regression";
    private const int MostLives = 1_000_000;

    private static readonly Note NoBounds = new() { Code = "NO_BOUNDS", Text = "Rank regression gives no bounds." };

    public override Task<DescribeResponse> Describe(DescribeRequest request, ServerCallContext context) => Task.FromResult(new DescribeResponse
    {
        Id = "example-rank-regression",
        Version = "1.0.0",
        Publisher = "Example in C#",
        Estimators =
        {
            new EstimatorDescription
            {
                Id = Id,
                DisplayName = "Weibull by rank regression",
                Source = "Johnson 1964; Benard and Bos-Levenbach 1953",
                Parameters =
                {
                    new ParameterDescription { Name = "shape", Lower = 0, Transform = ParameterTransform.Log },
                    new ParameterDescription { Name = "scale", Unit = "hours", Lower = 0, Transform = ParameterTransform.Log },
                },
                ScaleEquivariant = true,
                BoundsMethods = { BoundsMethod.LikelihoodRatio, BoundsMethod.NormalApproximation },
                Plot = new PlotScale { Hours = HoursScale.Log, Fraction = FractionScale.Weibull },
            },
        },
    });

    public override async Task<FitResponse> Fit(IAsyncStreamReader<FitRequest> requestStream, ServerCallContext context)
    {
        var lives = new List<(double Hours, bool Failed)>();
        var options = new FitOptions();
        await foreach (var request in requestStream.ReadAllAsync(context.CancellationToken))
        {
            if (request.PartCase == FitRequest.PartOneofCase.Start)
            {
                options = request.Start.Options;
                continue;
            }

            var rows = request.Rows;
            for (var i = 0; i < rows.Outcomes.Count; i++)
            {
                var count = rows.Counts.Count > 0 ? rows.Counts[i] : 1;
                if (rows.Outcomes[i] == LifeOutcome.Between || (rows.EntryHours.Count > 0 && rows.EntryHours[i] > 0))
                    return No("ROW_NOT_TAKEN", "Rank regression takes failures at known ages and survivors, watched from the start.");
                if (count != Math.Floor(count) || lives.Count + count > MostLives)
                    return No("COUNT_NOT_TAKEN", "Rank regression takes whole lives, at most a million.");
                lives.AddRange(Enumerable.Repeat((rows.LowerHours[i], rows.Outcomes[i] == LifeOutcome.Failed), (int)count));
            }
        }

        if (RankedLives.Of(lives) is not { } estimate)
            return No("TOO_FEW_FAILURES", "Rank regression needs failures at two ages.");
        return new FitResponse
        {
            Fitted = new FittedLife
            {
                BoundsMethod = options.BoundsMethod,
                Parameters = { Value(estimate.Shape), Value(estimate.Scale) },
                Warnings = { NoBounds },
                State = ByteString.CopyFrom([.. BitConverter.GetBytes(estimate.Shape), .. BitConverter.GetBytes(estimate.Scale)]),
            },
        };
    }

    public override Task<EstimateResponse> Estimate(EstimateRequest request, ServerCallContext context)
    {
        if (request.State.Length != 2 * sizeof(double))
            throw new RpcException(new Status(StatusCode.InvalidArgument, "state must be one that Fit gave"));
        var state = request.State.Span;
        var life = new RankedLives(BitConverter.ToDouble(state), BitConverter.ToDouble(state[sizeof(double)..]));
        var response = new EstimateResponse();
        response.Estimates.Add(request.Quantities.Select(asked => asked.KindCase switch
        {
            Quantity.KindOneofCase.FailureFraction => Value(life.Percentile(asked.FailureFraction)),
            Quantity.KindOneofCase.ReliabilityHours => Value(life.Reliability(asked.ReliabilityHours)),
            Quantity.KindOneofCase.ConditionalReliability => Value(Math.Exp(
                Math.Pow(asked.ConditionalReliability.AgeHours / life.Scale, life.Shape)
                - Math.Pow((asked.ConditionalReliability.AgeHours + asked.ConditionalReliability.HorizonHours) / life.Scale, life.Shape))),
            Quantity.KindOneofCase.RemainingLife => Value(life.Remaining(asked.RemainingLife.AgeHours, asked.RemainingLife.FailureFraction)),
            _ => new Estimate { Notes = { new Note { Code = "NO_MEAN", Text = "Rank regression gives no mean." } } },
        }));
        return Task.FromResult(response);
    }

    private static Estimate Value(double value) => new() { Value = value, Notes = { NoBounds } };

    private static FitResponse No(string reason, string text) => new() { NotEstimable = new NotEstimable { Reason = reason, Text = text } };
}
