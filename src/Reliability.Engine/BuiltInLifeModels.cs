using Reliability.Engine.Abstractions;
using Reliability.Engine.Catalog;
using Reliability.Engine.Families;
using Reliability.Engine.Fitting;
using Reliability.Engine.LocationScale;
using Reliability.Engine.Plotting;

namespace Reliability.Engine;

/// <summary>The life models of this engine, and the catalogue that offers them together with others.</summary>
public static class BuiltInLifeModels
{
    /// <summary>Makes a catalogue of the built-in models, the Weibull first and as the default, and of further ones.</summary>
    /// <param name="additional">Models of plug-ins; their ids must differ from the built-in ones.</param>
    /// <returns>The catalogue; it keeps no state and may be shared.</returns>
    /// <exception cref="ArgumentException">Two models share an id.</exception>
    public static ILifeModelCatalog CreateCatalog(params IReadOnlyList<ILifeModel> additional)
    {
        ArgumentNullException.ThrowIfNull(additional);
        var weibull = Weibull();
        return new LifeModelCatalog(
        [
            weibull,
            Exponential(),
            Lognormal(),
            Loglogistic(),
            FromFamily(new GammaFamily(), "Lawless 2003, 1.3 and ch. 4", EngineVersion.Text),
            FromFamily(new NormalFamily(), "Meeker and Escobar 1998, 4.5 and ch. 8", EngineVersion.Text),
            FromFamily(
                new GeneralizedGammaFamily(), "Stacy 1962; Prentice 1974; Lawless 2003, 1.3 and ch. 5", EngineVersion.Text),
            new Weibull3Model(),
            new MixtureModel(weibull),
            new CompetingModel(weibull),
            .. additional,
        ]);
    }

    /// <summary>
    /// Makes a life model of a distribution: maximum likelihood over failures, survivors and intervals with late entry and
    /// counts, likelihood-ratio and normal-approximation bounds, any parameter held on request.
    /// </summary>
    /// <param name="family">The distribution, with one to five parameters.</param>
    /// <param name="source">Where it is published.</param>
    /// <param name="version">Version of who provides it.</param>
    /// <returns>The model, which keeps no state.</returns>
    /// <exception cref="ArgumentException">The family has no parameter, or more than five.</exception>
    public static ILifeModel FromFamily(ILifeFamily family, string source, string version)
    {
        ArgumentNullException.ThrowIfNull(family);
        if (family.Parameters.Count is < 1 or > 5)
            throw new ArgumentException($"A family must have one to five parameters; {family.Id} has {family.Parameters.Count}.", nameof(family));
        return new FamilyModel(family, source, version);
    }

    private static LocationScaleModel<SmallestExtremeValue> Weibull()
    {
        var distribution = default(SmallestExtremeValue);
        return new LocationScaleModel<SmallestExtremeValue>(
            new LogLocationScaleFamily(
                "weibull", "Weibull", "IEC 61649:2008; Meeker and Escobar 1998, 4.8 and ch. 8", distribution,
                new ShapeScaleParameterisation(), new ProbabilityPlotScale(distribution, "weibull"))
            {
                SpecialCaseOf = ["generalized-gamma"],
                BorderCaseOf = ["weibull3"],
            },
            hasChiSquareBounds: true);
    }

    private static LocationScaleModel<SmallestExtremeValue> Exponential() =>
        new(
            new LogLocationScaleFamily(
                "exponential", "Exponential", "Lawless 2003, 4.1; Meeker and Escobar 1998, 4.4", default(SmallestExtremeValue),
                new MeanParameterisation(), new HazardPlotScale())
            {
                SpecialCaseOf = ["weibull", "gamma", "generalized-gamma"],
            },
            hasChiSquareBounds: true);

    private static LocationScaleModel<StandardNormal> Lognormal()
    {
        var distribution = default(StandardNormal);
        return new LocationScaleModel<StandardNormal>(
            new LogLocationScaleFamily(
                "lognormal", "Lognormal", "Meeker and Escobar 1998, 4.6 and ch. 8", distribution,
                new LocationSigmaParameterisation(), new ProbabilityPlotScale(distribution, "normal"))
            {
                SpecialCaseOf = ["generalized-gamma"],
            },
            hasChiSquareBounds: false);
    }

    private static LocationScaleModel<StandardLogistic> Loglogistic()
    {
        var distribution = default(StandardLogistic);
        return new LocationScaleModel<StandardLogistic>(
            new LogLocationScaleFamily(
                "loglogistic", "Loglogistic", "Lawless 2003, 1.3; Meeker and Escobar 1998, 4.10 and ch. 8", distribution,
                new ShapeScaleParameterisation(), new ProbabilityPlotScale(distribution, "logistic")),
            hasChiSquareBounds: false);
    }
}
