using System.Collections.Frozen;
using System.Globalization;
using Reliability.Engine.Abstractions;
using Reliability.Engine.Catalog;
using Reliability.Engine.Fitting;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Families;

/// <summary>
/// Maximum likelihood for the Weibull with location, shape 1 or more: by the profile over the location, then by Newton's method in
/// all three. The answer says where the maximum is only local or lies at location 0, and whether the lives tell the location from 0.
/// </summary>
internal sealed class Weibull3Model : ILifeModel
{
    private const double UsualLevel = 0.05;
    private readonly Weibull3Family _family = new();

    public Weibull3Model()
    {
        Description = new LifeModelDescription(
            _family.Id,
            _family.DisplayName,
            _family.Parameters,
            new LifeModelCapabilities
            {
                SupportsIntervals = true,
                SupportsLateEntry = true,
                ScaleEquivariant = true,
                BoundsMethods = FrozenSet.Create(BoundsMethod.LikelihoodRatio, BoundsMethod.NormalApproximation),
            },
            _family.Plot,
            EngineVersion.Text,
            "Lawless 2003, 1.3; Meeker and Escobar 1998, 11.4; Smith 1985")
        {
            PlugIn = EngineVersion.BuiltIn,
        };
    }

    public LifeModelDescription Description { get; }

    public ILifeFamily Family => _family;

    public Estimable<IFittedLife> Fit(
        LifeSample sample, FitOptions options, CancellationToken cancellationToken = default)
    {
        FitRequest.Check(Description, sample, options);
        if (FamilyModel.Unestimable(sample, Description.DisplayName) is { } reason)
            return reason;
        cancellationToken.ThrowIfCancellationRequested();
        var profile = new LocationProfile(sample);
        var (inside, atZero, atFirst) = profile.Maxima(cancellationToken);

        // Newton's differences may step over location 0, beyond which the likelihood goes on smoothly; a maximum there is none.
        var surface = new Surface(
            new FamilyLikelihood(_family, sample),
            new FreeParameters([.. _family.Parameters.SkipLast(1), ParameterDescription.Real("location", "hours")], options.FixedParameters));
        foreach (var candidate in inside)
        {
            var found = FamilyMaximiser.MaximiseFrom(surface, surface.Parameters.Point(candidate.Parameters), cancellationToken);
            if (!found.TryGet(out var maximum, out _) || profile.At(maximum.Point[2], cancellationToken) is not { } top
                || maximum.Point[2] < 0 || top.Shape <= LocationProfile.LeastShape)
            {
                continue;
            }

            return Fitted(surface, maximum, profile, top, Warnings(sample, options, top, atZero, atFirst), options, cancellationToken);
        }

        if (atZero is null || atZero.Shape <= LocationProfile.LeastShape || !FallsFromZero(profile, atZero, cancellationToken))
        {
            return new NotEstimable(
                NotEstimableReasons.MaximumAtBorder,
                "With shapes of 1 and more the likelihood of these lives is greatest where the location meets the first failure and the "
                + "shape its limit of 1: there neither parameters nor bounds can be trusted. Shapes below 1 would make it grow without end.");
        }

        // Greatest at location 0: the Weibull without location, which is left out of the coordinates but not of the bounds.
        var flat = new Surface(
            surface.Likelihood, new FreeParameters(_family.Parameters, new Dictionary<string, double> { [_family.Parameters[2].Name] = 0 }));
        return FamilyMaximiser.MaximiseFrom(flat, flat.Parameters.Point(atZero.Parameters), cancellationToken).TryGet(out var atBorder, out var none)
            ? Fitted(flat, atBorder, profile, atZero, Warnings(sample, options, atZero, atZero, atFirst), options, cancellationToken)
            : none;
    }

    private Estimable<IFittedLife> Fitted(
        Surface surface, FamilyMaximum maximum, LocationProfile profile, ShapeAndScale top, List<EngineWarning> warnings,
        FitOptions options, CancellationToken cancellationToken)
    {
        var bounds = options.BoundsMethod == BoundsMethod.LikelihoodRatio
            ? new LocationRegion(
                profile, top, ReferenceDistributions.ChiSquareQuantile(1, options.ConfidenceLevel) / 2, cancellationToken)
            : null;
        return Estimable<IFittedLife>.Of(
            new FittedFamilyLife(Description, surface, maximum, bounds, options, warnings, cancellationToken));
    }

    private static bool FallsFromZero(LocationProfile profile, ShapeAndScale atZero, CancellationToken cancellationToken) =>
        profile.At(1e-3 * profile.Last, cancellationToken) is not { } beside || beside.Value <= atZero.Value;

    private static List<EngineWarning> Warnings(
        LifeSample sample, FitOptions options, ShapeAndScale top, ShapeAndScale? atZero, ShapeAndScale? atFirst)
    {
        var warnings = FitWarnings.Of(sample);
        warnings.Add(new EngineWarning(
            WarningCodes.ShapeConstrained,
            "The shape is taken to be 1 or more: below 1 the likelihood grows without end as the location comes up to the first failure."));
        if (atFirst is not null && atFirst.Value > top.Value)
        {
            warnings.Add(new EngineWarning(
                WarningCodes.LocalMaximum,
                "The maximum is only local: the likelihood is higher where the location meets the first failure and the shape is 1."));
        }

        if (top.Location == 0)
        {
            warnings.Add(new EngineWarning(
                WarningCodes.LocationAtZero,
                "The likelihood is greatest at location 0, the Weibull without location. "
                + (options.BoundsMethod == BoundsMethod.NormalApproximation
                    ? "Bounds by normal approximation take that as known, and the location has none."
                    : "Standard errors take that as known; bounds do not.")));
        }
        else if (atZero is not null)
        {
            // Half of chi-square with one degree of freedom: the location cannot fall below 0 (Self and Liang 1987, case 5).
            var statistic = Math.Max(0, 2 * (top.Value - atZero.Value));
            var chance = ReferenceDistributions.ChiSquareUpperTail(1, statistic) / 2;
            if (chance > UsualLevel)
            {
                warnings.Add(new EngineWarning(
                    WarningCodes.LocationNotDistinguished,
                    $"These lives do not tell the location from 0: likelihood ratio {Text(statistic)}, p = {Text(chance)} by half of "
                    + "chi-square with one degree of freedom. The Weibull without location describes them about as well."
                    + (atZero.Shape < 2
                        ? " With a shape below 2 there, p is a rough guide (Smith 1985)."
                        : string.Empty)));
            }
        }

        if (top.Shape < 2 && top.Location > 0)
        {
            warnings.Add(new EngineWarning(
                WarningCodes.IrregularLikelihood,
                "With a shape below 2 the location is not estimated in the usual way (Smith 1985): its standard error and bounds by normal "
                + "approximation mean little, and bounds by likelihood ratio are a rough guide."));
        }

        return warnings;
    }

    private static string Text(double value) => value.ToString("G3", CultureInfo.InvariantCulture);
}
