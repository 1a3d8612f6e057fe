using Reliability.Analysis;
using Reliability.Engine.Abstractions;

namespace Reliability.Service.Mapping;

/// <summary>Questions of fits from the wire, and fits to it.</summary>
internal static class FitMapping
{
    public const ulong DefaultSeed = 1;

    /// <summary>What is asked of lives, whichever they are and however new they must be.</summary>
    public static V1.FitLivesRequest WithoutLives(V1.FitLivesRequest request, ILifeModelCatalog catalog)
    {
        var question = request.Clone();
        question.ClearLives();
        question.MinimumRevision = string.Empty;

        // A plug-in of another process may become another version while this one runs.
        if (catalog.TryGet(request.LifeModel, out var model))
            question.LifeModel += " " + model.Description.Version;
        return question;
    }

    public static FitQuestion Question(V1.FitLivesRequest request) => new()
    {
        LifeModel = request.LifeModel,
        ConfidenceLevel = request.HasConfidenceLevel ? request.ConfidenceLevel : Defaults.ConfidenceLevel,
        BoundsMethod = EstimateMapping.FromWire(request.BoundsMethod),
        FailureFractions = request.FailureFractions,
        ReliabilityHours = request.ReliabilityHours,
        RemainingLives =
        [
            .. request.RemainingLifeQueries.Select(query => new RemainingLifeQuestion(query.AgeHours, query.HorizonHours)),
        ],
        FixedParameters = request.FixedParameters.ToDictionary(StringComparer.Ordinal),
        Termination = request.Termination switch
        {
            V1.Termination.Failure => Termination.FailureTerminated,
            V1.Termination.Time => Termination.TimeTerminated,
            _ => Termination.Unspecified,
        },
        Seed = request.HasSeed ? (ulong)request.Seed : DefaultSeed,
        Replicates = request.HasReplicates ? request.Replicates : FitOptions.UsualReplicates,
        TestReplicates = request.FitTestReplicates,
        IncludeResiduals = request.IncludeResiduals,
        IncludePlot = request.IncludePlot,
    };

    public static V1.LifeFit ToWire(FitAnswer fit)
    {
        var wire = new V1.LifeFit
        {
            LifeModel = fit.Model.Id,
            DisplayName = fit.Model.DisplayName,
            EngineVersion = fit.Model.Version,
            MeanLife = EstimateMapping.ToWire(fit.MeanLife),
            BoundsMethod = EstimateMapping.ToWire(fit.BoundsMethod),
            ConfidenceLevel = fit.ConfidenceLevel,
            Termination = ToWire(fit.Termination),
            Seed = (long)fit.Seed,
        };
        AddParameters(wire.Parameters, fit.Parameters);
        wire.ParameterOrder.AddRange(fit.Parameters.Select(parameter => parameter.Name));
        wire.Covariance.AddRange(fit.Covariance);
        if (fit.LogLikelihood is { } logLikelihood)
            wire.LogLikelihood = logLikelihood;
        wire.PercentileLives.AddRange(fit.PercentileLives.Select(ToWire));
        wire.Reliability.AddRange(fit.Reliability.Select(ToWire));
        wire.RemainingLives.AddRange(fit.RemainingLives.Select(ToWire));
        if (fit.GoodnessOfFit is { } goodness)
            wire.GoodnessOfFit = ToWire(goodness);
        wire.Warnings.AddRange(EstimateMapping.ToWire(fit.Warnings));
        foreach (var (name, value) in fit.FixedParameters)
            wire.FixedParameters.Add(name, value);
        if (fit.Plan is { } plan)
            wire.Plan = ToWire(plan);
        if (fit.Simulation is { } simulation)
            wire.Simulation = ToWire(simulation);
        foreach (var (name, value) in fit.MedianUnbiased)
            wire.MedianUnbiasedParameters.Add(name, value);
        wire.FailureModes.AddRange(fit.FailureModes.Select(ToWire));
        if (fit.FitTest is { } fitTest)
            wire.FitTest = ToWire(fitTest);
        wire.Residuals.AddRange(fit.Residuals.Select(ToWire));
        if (fit.Plot is { } plot)
            wire.Plot = PlotMapping.ToWire(plot);
        return wire;
    }

    public static void AddParameters(
        IDictionary<string, V1.Estimate> wire, IEnumerable<ParameterEstimate> parameters)
    {
        foreach (var parameter in parameters)
            wire.Add(parameter.Name, EstimateMapping.ToWire(parameter.Estimate));
    }

    public static V1.FitTest ToWire(Estimable<FitTest> estimable) => estimable.TryGet(out var test, out var reason)
        ? new()
        {
            AndersonDarling = test.AndersonDarling,
            AndersonDarlingPValue = test.AndersonDarlingPValue,
            Kolmogorov = test.Kolmogorov,
            KolmogorovPValue = test.KolmogorovPValue,
            Replicates = test.Replicates,
            ReplicatesWithoutFit = test.ReplicatesWithoutFit,
            CensoringPlan = test.CensoringPlan,
        }
        : new() { NotEstimable = EstimateMapping.ToWire(reason) };

    private static V1.FailureModeFit ToWire(FailureModeAnswer mode)
    {
        var wire = new V1.FailureModeFit
        {
            FailureMode = mode.Name,
            IsUnknown = mode.IsUnknown,
            FailureCount = mode.FailureCount,
            MeanLife = EstimateMapping.ToWire(mode.MeanLife),
            Assumption = FailureModeAnswer.Assumption,
        };
        AddParameters(wire.Parameters, mode.Parameters);
        wire.ParameterOrder.AddRange(mode.Parameters.Select(parameter => parameter.Name));
        if (mode.LogLikelihood is { } logLikelihood)
            wire.LogLikelihood = logLikelihood;
        wire.PercentileLives.AddRange(mode.PercentileLives.Select(ToWire));
        wire.Incidences.AddRange(mode.Incidences.Select(incidence => new V1.FailureModeIncidence
        {
            Hours = incidence.Hours,
            FailureFraction = incidence.FailureFraction,
        }));
        return wire;
    }

    private static V1.Residual ToWire(CoxSnellResidual residual)
    {
        var wire = new V1.Residual
        {
            Value = residual.Value,
            EntryValue = residual.EntryValue,
            Survived = residual.Survived,
            Count = residual.Count,
        };
        if (residual.UpperValue is { } upper)
            wire.UpperValue = upper;
        if (residual.CumulativeHazard is { } hazard)
            wire.CumulativeHazard = hazard;
        return wire;
    }

    private static V1.PercentileLife ToWire(PercentileLife life) =>
        new() { FailureFraction = life.FailureFraction, Hours = EstimateMapping.ToWire(life.Hours) };

    private static V1.Termination ToWire(Termination termination) => termination switch
    {
        Termination.FailureTerminated => V1.Termination.Failure,
        Termination.TimeTerminated => V1.Termination.Time,
        _ => V1.Termination.Unspecified,
    };

    private static V1.SimulatedBounds ToWire(SimulatedBounds simulation) => new()
    {
        Method = simulation.Method,
        Replicates = simulation.Replicates,
        WithoutEstimate = simulation.WithoutEstimate,
        Seed = (long)simulation.Seed,
        Plan = simulation.Plan,
    };

    private static V1.ObservationPlan ToWire(ObservationPlan plan) => new()
    {
        Termination = ToWire(plan.Termination),
        Basis = plan.Basis switch
        {
            PlanBasis.Stated => V1.ObservationPlan.Types.Basis.Stated,
            PlanBasis.Detected => V1.ObservationPlan.Types.Basis.Detected,
            _ => V1.ObservationPlan.Types.Basis.Assumed,
        },
        PlannedEnds = plan.PlannedEnds switch
        {
            PlannedEndSource.NotNeeded => V1.ObservationPlan.Types.PlannedEnds.NotNeeded,
            PlannedEndSource.Stated => V1.ObservationPlan.Types.PlannedEnds.Stated,
            PlannedEndSource.PartlyStated => V1.ObservationPlan.Types.PlannedEnds.PartlyStated,
            _ => V1.ObservationPlan.Types.PlannedEnds.Estimated,
        },
    };

    private static V1.ReliabilityPoint ToWire(ReliabilityPoint point) =>
        new() { Hours = point.Hours, Probability = EstimateMapping.ToWire(point.Probability) };

    private static V1.RemainingLife ToWire(RemainingLife life)
    {
        var wire = new V1.RemainingLife
        {
            AgeHours = life.AgeHours,
            MedianHours = EstimateMapping.ToWire(life.MedianHours),
            MeanHours = EstimateMapping.ToWire(life.MeanHours),
        };
        wire.Survival.AddRange(life.Survival.Select(ToWire));
        return wire;
    }

    private static V1.GoodnessOfFit ToWire(GoodnessOfFit goodness)
    {
        var wire = new V1.GoodnessOfFit { Aic = goodness.Aic };
        if (goodness.Aicc is { } aicc)
            wire.Aicc = aicc;
        if (goodness.Bic is { } bic)
            wire.Bic = bic;
        return wire;
    }
}
