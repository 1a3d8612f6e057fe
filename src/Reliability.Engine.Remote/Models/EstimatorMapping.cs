using System.Collections.Frozen;
using Reliability.Engine.Abstractions;
using Reliability.PlugIn.V1;
using BoundSide = Reliability.Engine.Abstractions.BoundSide;
using BoundsMethod = Reliability.Engine.Abstractions.BoundsMethod;
using NotEstimable = Reliability.Engine.Abstractions.NotEstimable;

namespace Reliability.Engine.Remote.Models;

/// <summary>Estimators between the wire and the engine's contract.</summary>
internal static class EstimatorMapping
{
    private const int LongestText = 500;

    public static LifeModelDescription Description(
        EstimatorDescription wire, Abstractions.ParameterDescription[] parameters, RemoteAxes axes, RemoteFamily? family, string version)
    {
        var methods = wire.BoundsMethods.Select(Method).OfType<BoundsMethod>().ToFrozenSet();
        var fixable = wire.FixableParameters.ToFrozenSet(StringComparer.Ordinal);
        return new(
            wire.Id,
            wire.DisplayName,
            parameters,
            new LifeModelCapabilities
            {
                SupportsIntervals = wire.SupportsIntervals,
                SupportsLateEntry = wire.SupportsLateEntry,
                ScaleEquivariant = wire.ScaleEquivariant,
                BoundsWithoutFailures = wire.BoundsWithoutFailures,
                FixableParameters = fixable,
                BoundsMethods = methods,
                BoundsMethodsWithFixedParameters =
                    wire.FixedParametersBoundsMethods.Select(Method).OfType<BoundsMethod>().ToFrozenSet(),
            },
            axes.Fraction == FractionScale.Own ? new OwnPlotScale(family!, axes) : new CustomaryPlotScale(axes),
            version,
            wire.Source);
    }

    public static PlugIn.V1.FitOptions ToWire(Abstractions.FitOptions options)
    {
        var wire = new PlugIn.V1.FitOptions
        {
            ConfidenceLevel = options.ConfidenceLevel,
            BoundsMethod = (PlugIn.V1.BoundsMethod)((int)options.BoundsMethod + 1),
            Termination = (PlugIn.V1.Termination)(int)options.Termination,
            Replicates = options.Replicates,
            Seed = options.Seed,
        };
        wire.FixedParameters.Add(options.FixedParameters.ToDictionary());
        return wire;
    }

    /// <summary>The method of a number on the wire; null for one that this host does not know.</summary>
    public static BoundsMethod? Method(PlugIn.V1.BoundsMethod wire) =>
        wire != PlugIn.V1.BoundsMethod.Unspecified && Enum.IsDefined((BoundsMethod)((int)wire - 1)) ? (BoundsMethod)((int)wire - 1) : null;

    /// <exception cref="LifeModelFailedException">A text or code breaks a rule of the contract.</exception>
    public static NotEstimable NotEstimable(PlugIn.V1.NotEstimable wire, string model) =>
        Names.IsCode(wire.Reason) && Names.IsText(wire.Text, LongestText)
            ? new(wire.Reason, wire.Text)
            : throw new LifeModelFailedException(model, "it gave a reason for not fitting that is no code or no text.");

    /// <exception cref="LifeModelFailedException">A text or code breaks a rule of the contract.</exception>
    public static EngineWarning Note(Note wire, string model) =>
        Names.IsCode(wire.Code) && Names.IsText(wire.Text, LongestText)
            ? new(wire.Code, wire.Text)
            : throw new LifeModelFailedException(model, "it gave a note that is no code or no text.");

    public static UnsupportedRequestException Refusal(RefusedOption wire, string model) =>
        Names.IsText(wire.Option, LongestText) && Names.IsText(wire.Rule, LongestText)
            ? new(wire.Option, wire.Rule)
            : throw new LifeModelFailedException(model, "it refused an option without naming it and the rule.");

    /// <summary>An estimate, with what can be told wrong of any quantity refused.</summary>
    /// <exception cref="LifeModelFailedException">It cannot be: not finite, or value and bounds out of order.</exception>
    public static BoundedEstimate Estimate(Estimate wire, string model)
    {
        double? value = wire.HasValue ? wire.Value : null;
        double? lower = wire.HasLower ? wire.Lower : null;
        double? upper = wire.HasUpper ? wire.Upper : null;
        double? error = wire.HasStandardError ? wire.StandardError : null;
        foreach (var number in new[] { value, lower, upper, error })
        {
            if (number is { } n && !double.IsFinite(n))
                throw new LifeModelFailedException(model, "it answered a number that is not finite.");
        }

        if (error < 0)
            throw new LifeModelFailedException(model, "it answered a standard error below 0.");
        var estimate = new BoundedEstimate
        {
            Value = value,
            Lower = lower,
            Upper = upper,
            StandardError = error,
            Side = wire.Side switch
            {
                PlugIn.V1.BoundSide.Lower => BoundSide.Lower,
                PlugIn.V1.BoundSide.Upper => BoundSide.Upper,
                _ => BoundSide.Both,
            },
            Notes = [.. wire.Notes.Select(note => Note(note, model))],
        };
        return estimate.HoldsItsValue
            ? estimate
            : throw new LifeModelFailedException(model, "it answered bounds that do not hold their value.");
    }
}
