using System.Collections.Frozen;
using Reliability.Engine.Abstractions;
using Reliability.Engine.Fitting;

namespace Reliability.Engine.Families;

/// <summary>Maximum likelihood for any family, from its log density, log reliability and quantile alone.</summary>
internal sealed class FamilyModel : ILifeModel
{
    private readonly ILifeFamily _family;

    /// <param name="family">The distribution, with one to five parameters.</param>
    /// <param name="source">Where it is published.</param>
    /// <param name="version">Version of the engine or plug-in that provides it.</param>
    /// <param name="plugIn">The plug-in, where there is one.</param>
    public FamilyModel(ILifeFamily family, string source, string version, PlugInIdentity? plugIn)
    {
        _family = family;

        // Lives below 0 h cannot be simulated as lives.
        var methods = family.HasNegativeLives
            ? FrozenSet.Create(BoundsMethod.LikelihoodRatio, BoundsMethod.NormalApproximation)
            : FrozenSet.Create(BoundsMethod.LikelihoodRatio, BoundsMethod.NormalApproximation, BoundsMethod.Bootstrap);
        var fixable = family.Parameters.Count > 1
            ? family.Parameters.Select(p => p.Name).ToFrozenSet(StringComparer.Ordinal)
            : FrozenSet<string>.Empty;
        Description = new LifeModelDescription(
            family.Id,
            family.DisplayName,
            family.Parameters,
            new LifeModelCapabilities
            {
                SupportsIntervals = true,
                SupportsLateEntry = true,
                ScaleEquivariant = family.ScaleEquivariant,
                FixableParameters = fixable,
                BoundsMethods = methods,
                BoundsMethodsWithFixedParameters = fixable.Count > 0 ? methods : FrozenSet<BoundsMethod>.Empty,
            },
            family.Plot,
            version,
            source)
        {
            PlugIn = plugIn,
        };
    }

    public LifeModelDescription Description { get; }

    public ILifeFamily Family => _family;

    public Estimable<IFittedLife> Fit(
        LifeSample sample, FitOptions options, CancellationToken cancellationToken = default)
    {
        FitRequest.Check(Description, sample, options);
        if (options.FixedParameters.Count == _family.Parameters.Count)
        {
            throw new UnsupportedRequestException(
                "fixed_parameters", $"At least one parameter of {Description.DisplayName} must be left to estimate.");
        }

        if (Unestimable(sample, Description.DisplayName) is { } nothing)
            return nothing;
        cancellationToken.ThrowIfCancellationRequested();
        var surface = new Surface(
            new FamilyLikelihood(_family, sample), new FreeParameters(_family.Parameters, options.FixedParameters));
        if (!FamilyMaximiser.Maximise(surface, cancellationToken).TryGet(out var maximum, out var reason))
            return reason;
        var warnings = FitWarnings.Of(sample);
        foreach (var (name, value) in options.FixedParameters)
            warnings.Add(FitWarnings.AssumedParameter(name, value));
        if (options.BoundsMethod != BoundsMethod.Bootstrap)
        {
            return Estimable<IFittedLife>.Of(
                new FittedFamilyLife(
                    Description, surface, maximum, FamilyRegion.For(surface, maximum, options), options, warnings, cancellationToken));
        }

        return FamilyBootstrap.Of(surface, maximum, options, warnings, cancellationToken).TryGet(out var bootstrap, out var notSimulated)
            ? Estimable<IFittedLife>.Of(new FittedFamilyLife(Description, surface, maximum, bootstrap, options, warnings, cancellationToken)
            {
                Plan = bootstrap.Plan,
                Simulation = bootstrap.Simulation,
            })
            : notSimulated;
    }

    /// <summary>Why nothing can be estimated of lives that are none, or of which none has failed.</summary>
    public static NotEstimable? Unestimable(LifeSample sample, string displayName)
    {
        if (sample.RowCount == 0)
            return new NotEstimable(NotEstimableReasons.NoObservations, "There are no lives.");
        return sample.FailureCount == 0
            ? new NotEstimable(NotEstimableReasons.NoFailures, $"No life has failed, and {displayName} needs a failure.")
            : null;
    }
}
