using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>Finds the life model and the bounds a question asks for, by what the model says it can do.</summary>
internal static class LifeModelChoice
{
    public static ILifeModel Find(ILifeModelCatalog catalog, string? id)
    {
        if (string.IsNullOrEmpty(id))
            return catalog.Default;
        if (catalog.TryGet(id, out var model))
            return model;
        throw new RequestRefusedException(
            RefusalReasons.UnknownLifeModel, "life_model",
            $"must be one of {string.Join(", ", catalog.Models.Select(m => m.Description.Id))}");
    }

    /// <summary>The engine's options for a question; calibrated bounds where the model has them when the question names none, else its first.</summary>
    public static FitOptions Options(ILifeModel model, FitQuestion question)
    {
        var held = question.FixedParameters;
        var capabilities = model.Description.Capabilities;
        foreach (var name in held.Keys.Where(n => !capabilities.FixableParameters.Contains(n)))
        {
            throw new RequestRefusedException(
                RefusalReasons.UnsupportedOption, $"fixed_parameters[{name}]",
                capabilities.FixableParameters.Count == 0
                    ? $"the life model {model.Description.Id} has no parameter that may be held"
                    : $"the life model {model.Description.Id} lets these be held: "
                        + string.Join(", ", capabilities.FixableParameters.Order(StringComparer.Ordinal)));
        }

        return new()
        {
            ConfidenceLevel = question.ConfidenceLevel,
            BoundsMethod = Bounds(model, question.BoundsMethod, held.Count > 0),
            FixedParameters = held,
            Termination = question.Termination,
            Seed = question.Seed,
            Replicates = question.Replicates,
        };
    }

    private static BoundsMethod Bounds(ILifeModel model, BoundsMethod? asked, bool somethingHeld)
    {
        var capabilities = model.Description.Capabilities;
        var offered = somethingHeld ? capabilities.BoundsMethodsWithFixedParameters : capabilities.BoundsMethods;
        if (asked is null)
        {
            return offered.Contains(BoundsMethod.Calibrated) ? BoundsMethod.Calibrated
                : offered.Count == 0 ? BoundsMethod.LikelihoodRatio
                : offered.Min();
        }

        if (offered.Contains(asked.Value))
            return asked.Value;
        throw new RequestRefusedException(
            RefusalReasons.UnsupportedOption, "bounds_method",
            $"the life model {model.Description.Id} offers here: {string.Join(", ", offered.Order().Select(Words.Of))}");
    }

    /// <summary>Why the model cannot take such lives; null when it can.</summary>
    public static NotEstimable? Objection(ILifeModel model, LifeSample sample)
    {
        var capabilities = model.Description.Capabilities;
        if (sample.HasIntervals && !capabilities.SupportsIntervals)
        {
            return new(NotEstimableReasons.IntervalOutcomes,
                $"Some lives failed between two known ages, which the life model {model.Description.Id} does not take.");
        }

        if (sample.HasLateEntry && !capabilities.SupportsLateEntry)
        {
            return new(NotEstimableReasons.LateEntry,
                $"Some lives were observed from an age above 0, which the life model {model.Description.Id} does not take.");
        }

        return null;
    }
}
