using Grpc.Core;
using Reliability.Engine.Abstractions;
using Reliability.PlugIn.V1;
using LifeOutcome = Reliability.Engine.Abstractions.LifeOutcome;

namespace Reliability.Engine.Remote.Models;

/// <summary>An estimator that a remote plug-in runs.</summary>
/// <param name="plugIn">The plug-in to ask.</param>
/// <param name="description">What it says of the estimator, checked.</param>
/// <param name="family">The distribution behind it, if any.</param>
internal sealed class RemoteEstimator(RemotePlugIn plugIn, LifeModelDescription description, ILifeFamily? family) : ILifeModel
{
    private const int RowsOfMessage = 8192;

    public LifeModelDescription Description => description;

    public ILifeFamily? Family => family;

    public Estimable<IFittedLife> Fit(
        LifeSample sample, Abstractions.FitOptions options, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(sample);
        ArgumentNullException.ThrowIfNull(options);
        description.Check(options);
        cancellationToken.ThrowIfCancellationRequested();
        var answer = plugIn.Call(
            description.Id, (client, call) => AskAsync(client, call, sample, options).GetAwaiter().GetResult(), cancellationToken);
        return answer.ResultCase switch
        {
            FitResponse.ResultOneofCase.Fitted =>
                Estimable<IFittedLife>.Of(Fitted(answer.Fitted, sample, options)),
            FitResponse.ResultOneofCase.NotEstimable => EstimatorMapping.NotEstimable(answer.NotEstimable, description.Id),
            FitResponse.ResultOneofCase.RefusedOption => throw EstimatorMapping.Refusal(answer.RefusedOption, description.Id),
            _ => throw new LifeModelFailedException(description.Id, "it answered a fit with nothing."),
        };
    }

    /// <summary>Without a state the family answers what is asked later.</summary>
    private IFittedLife Fitted(FittedLife fitted, LifeSample sample, Abstractions.FitOptions options)
    {
        var life = new RemoteFittedLife(plugIn, description, fitted, options);
        if (family is null || !fitted.State.IsEmpty)
            return life;
        try
        {
            return DeltaMethod.Fitted(
                description,
                family,
                new FamilyEstimate([.. life.Parameters.Select(p => p.Estimate.Value ?? double.NaN)])
                {
                    Covariance = life.Covariance,
                    LogLikelihood = life.LogLikelihood,
                    Warnings = life.Warnings,
                },
                sample,
                options);
        }
        catch (ArgumentException wrong)
        {
            throw new LifeModelFailedException(description.Id, "its parameters or their covariance cannot be: " + Told(wrong), wrong);
        }
    }

    /// <summary>The sentence of our own that an argument broke, without its name.</summary>
    private static string Told(ArgumentException wrong) => wrong.Message.Split(" (Parameter", 2)[0];

    private static async Task<FitResponse> AskAsync(
        LifeModelPlugInService.LifeModelPlugInServiceClient client, CallOptions call, LifeSample sample, Abstractions.FitOptions options,
        string estimator)
    {
        using var fit = client.Fit(call);
        var start = new FitStart { Estimator = estimator, Options = EstimatorMapping.ToWire(options), RowCount = sample.RowCount };
        start.FailureModeNames.Add(sample.FailureModeNames);
        try
        {
            await fit.RequestStream.WriteAsync(new FitRequest { Start = start }).ConfigureAwait(false);
            for (var from = 0; from < sample.RowCount; from += RowsOfMessage)
            {
                await fit.RequestStream.WriteAsync(
                    new FitRequest { Rows = Rows(sample, from, Math.Min(RowsOfMessage, sample.RowCount - from)) }).ConfigureAwait(false);
            }

            await fit.RequestStream.CompleteAsync().ConfigureAwait(false);
        }
        catch (RpcException)
        {
            // It has answered before it read all: what it answered tells why.
        }

        return await fit.ResponseAsync.ConfigureAwait(false);
    }

    private Task<FitResponse> AskAsync(
        LifeModelPlugInService.LifeModelPlugInServiceClient client, CallOptions call, LifeSample sample, Abstractions.FitOptions options) =>
        AskAsync(client, call, sample, options, description.Id);

    private static LifeRows Rows(LifeSample sample, int from, int count)
    {
        var rows = new LifeRows();
        for (var i = from; i < from + count; i++)
        {
            rows.Outcomes.Add(sample.Outcomes[i] switch
            {
                LifeOutcome.Failed => PlugIn.V1.LifeOutcome.Failed,
                LifeOutcome.Survived => PlugIn.V1.LifeOutcome.Survived,
                _ => PlugIn.V1.LifeOutcome.Between,
            });
            rows.LowerHours.Add(sample.LowerHours[i]);
            rows.UpperHours.Add(sample.UpperHours[i]);
            if (sample.HasLateEntry)
                rows.EntryHours.Add(sample.EntryHours[i]);
            if (sample.HasCounts)
                rows.Counts.Add(sample.Counts[i]);
            if (!sample.PlannedEndHours.IsEmpty)
                rows.PlannedEndHours.Add(double.IsNaN(sample.PlannedEndHours[i]) ? 0 : sample.PlannedEndHours[i]);
            if (!sample.FailureModes.IsEmpty)
                rows.FailureModes.Add(sample.FailureModes[i] + 1);
        }

        return rows;
    }
}
