using Reliability.Engine.Abstractions;
using Reliability.PlugIn.V1;
using BoundSide = Reliability.Engine.Abstractions.BoundSide;
using BoundsMethod = Reliability.Engine.Abstractions.BoundsMethod;

namespace Reliability.Engine.Remote.Models;

/// <summary>A life that a remote estimator fitted. What it was told is kept; quantities are asked of the plug-in out of its state.</summary>
internal sealed class RemoteFittedLife : IFittedLife
{
    private const int LargestState = 512 << 10, QuantitiesOfMessage = 5000;

    private readonly RemotePlugIn _plugIn;
    private readonly FittedLife _fitted;

    /// <exception cref="LifeModelFailedException">The fit breaks a rule of the contract.</exception>
    public RemoteFittedLife(RemotePlugIn plugIn, LifeModelDescription model, FittedLife fitted, Abstractions.FitOptions options)
    {
        (_plugIn, _fitted, Model, ConfidenceLevel) = (plugIn, fitted, model, options.ConfidenceLevel);
        var n = model.Parameters.Count;
        if (fitted.Parameters.Count != n)
            throw Failed($"it answered {fitted.Parameters.Count} parameters where its description has {n}");
        if (fitted.Covariance.Count != 0 && fitted.Covariance.Count != n * n)
            throw Failed("its covariance is not square over its parameters");
        if (!fitted.Covariance.All(double.IsFinite) || (fitted.HasLogLikelihood && !double.IsFinite(fitted.LogLikelihood)))
            throw Failed("it answered a number that is not finite");
        if (fitted.State.Length > LargestState)
            throw Failed("the state it wants kept is over 512 KiB");
        BoundsMethod = EstimatorMapping.Method(fitted.BoundsMethod) ?? throw Failed("it did not say how its bounds were made");
        Parameters =
        [
            .. fitted.Parameters.Select((p, i) => new ParameterEstimate(
                model.Parameters[i].Name, EstimatorMapping.Estimate(p, model.Id), options.FixedParameters.ContainsKey(model.Parameters[i].Name))),
        ];
        Warnings = [.. fitted.Warnings.Select(note => EstimatorMapping.Note(note, model.Id))];
    }

    public LifeModelDescription Model { get; }

    public BoundsMethod BoundsMethod { get; }

    public double ConfidenceLevel { get; }

    public IReadOnlyList<ParameterEstimate> Parameters { get; }

    public IReadOnlyList<double> Covariance => _fitted.Covariance;

    public double? LogLikelihood => _fitted.HasLogLikelihood ? _fitted.LogLikelihood : null;

    public IReadOnlyList<EngineWarning> Warnings { get; }

    public BoundedEstimate Mean(CancellationToken cancellationToken = default) => Ask(new Quantity { Mean = true }, cancellationToken);

    public BoundedEstimate PercentileLife(double failureFraction, CancellationToken cancellationToken = default)
    {
        Questions.CheckFraction(failureFraction);
        return Ask(new Quantity { FailureFraction = failureFraction }, cancellationToken);
    }

    public BoundedEstimate Reliability(double hours, CancellationToken cancellationToken = default)
    {
        Questions.CheckHours(hours);
        return Probability(Ask(new Quantity { ReliabilityHours = hours }, cancellationToken));
    }

    public BoundedEstimate ConditionalReliability(double ageHours, double horizonHours, CancellationToken cancellationToken = default)
    {
        Questions.CheckHours(ageHours);
        Questions.CheckHours(horizonHours);
        return Probability(Ask(
            new Quantity { ConditionalReliability = new AgeAndHorizon { AgeHours = ageHours, HorizonHours = horizonHours } },
            cancellationToken));
    }

    public BoundedEstimate RemainingLife(double ageHours, double failureFraction, CancellationToken cancellationToken = default)
    {
        Questions.CheckHours(ageHours);
        Questions.CheckFraction(failureFraction);
        return Ask(
            new Quantity { RemainingLife = new AgeAndFraction { AgeHours = ageHours, FailureFraction = failureFraction } },
            cancellationToken);
    }

    public BoundedEstimate MeanRemainingLife(double ageHours, CancellationToken cancellationToken = default)
    {
        Questions.CheckHours(ageHours);
        return Ask(new Quantity { MeanRemainingHours = ageHours }, cancellationToken);
    }

    public IReadOnlyList<PlotPoint> Curve(IReadOnlyList<double> hours, CancellationToken cancellationToken = default)
    {
        Questions.CheckAges(hours);
        var points = new List<PlotPoint>(hours.Count);
        foreach (var part in hours.Chunk(QuantitiesOfMessage))
        {
            var alive = Ask([.. part.Select(age => new Quantity { ReliabilityHours = age })], cancellationToken);
            for (var i = 0; i < part.Length; i++)
                points.Add(Point(part[i], Probability(alive[i])));
        }

        return points;
    }

    private PlotPoint Point(double hours, BoundedEstimate alive)
    {
        var failed = alive with
        {
            Value = 1 - alive.Value,
            Lower = 1 - alive.Upper,
            Upper = 1 - alive.Lower,
            Side = alive.Side switch { BoundSide.Lower => BoundSide.Upper, BoundSide.Upper => BoundSide.Lower, _ => BoundSide.Both },
        };
        return new(
            hours, failed, Model.Plot.HoursToAxis(hours), Position(failed.Value), Position(failed.Lower), Position(failed.Upper));
    }

    private double? Position(double? fraction) =>
        fraction is > 0 and < 1 && Model.Plot.FractionToAxis(fraction.Value) is var at && double.IsFinite(at) ? at : null;

    private BoundedEstimate Ask(Quantity quantity, CancellationToken cancellation) => Ask([quantity], cancellation)[0];

    private List<BoundedEstimate> Ask(IReadOnlyList<Quantity> quantities, CancellationToken cancellation)
    {
        var question = new EstimateRequest { Estimator = Model.Id, State = _fitted.State };
        question.Quantities.Add(quantities);
        var answer = _plugIn.Call(Model.Id, (client, options) => client.Estimate(question, options), cancellation);
        if (answer.Estimates.Count != quantities.Count)
            throw Failed($"it answered {answer.Estimates.Count} estimates where {quantities.Count} were asked");
        return [.. answer.Estimates.Select(estimate => EstimatorMapping.Estimate(estimate, Model.Id))];
    }

    private BoundedEstimate Probability(BoundedEstimate estimate) =>
        new[] { estimate.Value, estimate.Lower, estimate.Upper }.All(p => p is null or (>= 0 and <= 1))
            ? estimate
            : throw Failed("it answered a probability that is not between 0 and 1");

    private LifeModelFailedException Failed(string reason) => new(Model.Id, reason + ".");
}
