using Grpc.Core;
using Reliability.PlugIn.V1;

namespace Reliability.PlugIns.Hostile;

/// <summary>
/// A Gompertz, R(t) = exp(-shape (exp(t / scale) - 1)) (Gompertz 1825; Johnson, Kotz and Balakrishnan 1995, 22.8, from memory), and an
/// estimator of its own; one vice shows when it is evaluated.
/// </summary>
internal sealed class HostileService(Vice vice) : LifeModelPlugInService.LifeModelPlugInServiceBase
{
    private static readonly List<byte[]> Hoard = [];

    public override Task<DescribeResponse> Describe(DescribeRequest request, ServerCallContext context)
    {
        var parameters = new[] { Positive("shape", ""), Positive("scale", "hours") };
        var plot = new PlotScale { Hours = HoursScale.Linear, Fraction = FractionScale.Own, StraightParameters = { 0.01, 1000 } };
        return Task.FromResult(new DescribeResponse
        {
            Id = vice.Name == "says-another-id" ? "somebody-else" : vice.Id,
            Version = "1.0",
            Publisher = "tests",
            Families =
            {
                new FamilyDescription
                {
                    Id = vice.Id,
                    DisplayName = "Gompertz, " + vice.Name,
                    Source = "Gompertz 1825",
                    Parameters = { parameters },
                    ScaleEquivariant = true,
                    Plot = plot,
                },
            },
            Estimators =
            {
                new EstimatorDescription
                {
                    Id = vice.Id + "-estimator",
                    DisplayName = "Mean of the failures, " + vice.Name,
                    Source = "tests",
                    Parameters = { Positive("mean", "hours") },
                    SupportsLateEntry = true,
                    SupportsIntervals = true,
                    BoundsMethods = { BoundsMethod.NormalApproximation },
                    FixableParameters = { "mean" },
                    FixedParametersBoundsMethods = { BoundsMethod.NormalApproximation },
                    Plot = new PlotScale { Hours = HoursScale.Linear, Fraction = FractionScale.Exponential },
                },
            },
        });
    }

    public override Task<EvaluateResponse> Evaluate(EvaluateRequest request, ServerCallContext context)
    {
        Sin(context);
        var response = new EvaluateResponse();
        foreach (var batch in request.Batches)
        {
            if (vice.Name == "loops-at-13" && batch.SurvivalHours.Contains(13))
                Loop();
            var (shape, scale) = (batch.Parameters[0], batch.Parameters[1]);
            var result = new EvaluationResult();
            result.LogDensities.Add(batch.DensityHours.Select(t =>
                Math.Log(shape / scale) + t / scale - shape * (Math.Exp(t / scale) - 1)));
            result.LogSurvivals.Add(batch.SurvivalHours.Select(t => -shape * (Math.Exp(t / scale) - 1)));
            result.Quantiles.Add(batch.QuantileFractions.Select(p => scale * Math.Log(1 - Math.Log(1 - p) / shape)));
            switch (vice.Name)
            {
                case "answers-nan":
                    Replace(result.LogSurvivals, _ => double.NaN);
                    break;
                case "goes-back":
                    Replace(result.Quantiles, t => 1e6 - t);
                    break;
                case "answers-too-few":
                    RemoveLast(result.LogDensities);
                    RemoveLast(result.LogSurvivals);
                    break;
                case "answers-nothing":
                    continue;
            }

            response.Results.Add(result);
        }

        return Task.FromResult(response);
    }

    public override async Task<FitResponse> Fit(IAsyncStreamReader<FitRequest> requestStream, ServerCallContext context)
    {
        Sin(context);
        if (vice.Name == "ignores-its-caller")
            Loop();
        double sum = 0, count = 0;
        long rows = 0, stated = 0;
        await foreach (var request in requestStream.ReadAllAsync(context.CancellationToken))
        {
            if (request.PartCase == FitRequest.PartOneofCase.Start)
            {
                stated = request.Start.RowCount;
                continue;
            }

            for (var i = 0; i < request.Rows.Outcomes.Count; i++, rows++)
            {
                if (request.Rows.Outcomes[i] != LifeOutcome.Failed)
                    continue;
                var weight = request.Rows.Counts.Count > 0 ? request.Rows.Counts[i] : 1;
                (sum, count) = (sum + weight * request.Rows.LowerHours[i], count + weight);
            }
        }

        if (rows != stated)
            throw new RpcException(new Status(StatusCode.InvalidArgument, "rows"));
        if (count == 0)
            return new FitResponse { NotEstimable = new NotEstimable { Reason = "NO_FAILURES", Text = "No life has failed." } };
        var mean = sum / count;
        return new FitResponse
        {
            Fitted = new FittedLife
            {
                BoundsMethod = BoundsMethod.NormalApproximation,
                Parameters = { new Estimate { Value = mean, Lower = mean / 2, Upper = vice.Name == "crosses-bounds" ? mean / 4 : mean * 2 } },
                State = Google.Protobuf.ByteString.CopyFrom(BitConverter.GetBytes(mean)),
            },
        };
    }

    public override Task<EstimateResponse> Estimate(EstimateRequest request, ServerCallContext context)
    {
        var mean = BitConverter.ToDouble(request.State.Span);
        var response = new EstimateResponse();
        response.Estimates.Add(request.Quantities.Select(asked => new Estimate
        {
            Value = asked.KindCase switch
            {
                Quantity.KindOneofCase.ReliabilityHours => Math.Exp(-asked.ReliabilityHours / mean),
                Quantity.KindOneofCase.FailureFraction => -mean * Math.Log(1 - asked.FailureFraction),
                Quantity.KindOneofCase.ConditionalReliability => Math.Exp(-asked.ConditionalReliability.HorizonHours / mean),
                Quantity.KindOneofCase.RemainingLife => -mean * Math.Log(1 - asked.RemainingLife.FailureFraction),
                _ => mean,
            },
            Notes = { new Note { Code = "NO_BOUNDS", Text = "This estimator gives no bounds." } },
        }));
        return Task.FromResult(response);
    }

    private void Sin(ServerCallContext context)
    {
        switch (vice.Name)
        {
            case "loops":
                Loop();
                break;

            case "overflows":
                Overflow(0);
                break;
            case "exits":
                Environment.Exit(7);
                break;
            case "allocates":
                while (true)
                {
                    var block = new byte[8 << 20];
                    Array.Fill(block, (byte)1);
                    Hoard.Add(block);
                }

            case "closes-the-socket":
                context.GetHttpContext().Abort();
                break;
            case "throws":
                throw new InvalidOperationException("a message that no caller may see");
        }
    }

    private static void Loop()
    {
        while (true)
        {
        }
    }

    private static long Overflow(long depth) => Overflow(depth + 1) + depth;

    private static void Replace(Google.Protobuf.Collections.RepeatedField<double> field, Func<double, double> by)
    {
        for (var i = 0; i < field.Count; i++)
            field[i] = by(field[i]);
    }

    private static void RemoveLast(Google.Protobuf.Collections.RepeatedField<double> field)
    {
        if (field.Count > 0)
            field.RemoveAt(field.Count - 1);
    }

    private static ParameterDescription Positive(string name, string unit) =>
        new() { Name = name, Unit = unit, Lower = 0, Transform = ParameterTransform.Log };
}
