using Reliability.Engine.Abstractions;
using Reliability.Engine.Catalog;
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
        return new LifeModelCatalog([Weibull(), Exponential(), Lognormal(), Loglogistic(), .. additional]);
    }

    private static LocationScaleModel<SmallestExtremeValue> Weibull()
    {
        var distribution = default(SmallestExtremeValue);
        return new LocationScaleModel<SmallestExtremeValue>(
            new LogLocationScaleFamily(
                "weibull", "Weibull", "IEC 61649:2008; Meeker and Escobar 1998, 4.8 and ch. 8", distribution,
                new ShapeScaleParameterisation(), new ProbabilityPlotScale(distribution, "weibull")),
            hasChiSquareBounds: true);
    }

    private static LocationScaleModel<SmallestExtremeValue> Exponential() =>
        new(
            new LogLocationScaleFamily(
                "exponential", "Exponential", "Lawless 2003, 4.1; Meeker and Escobar 1998, 4.4", default(SmallestExtremeValue),
                new MeanParameterisation(), new HazardPlotScale()),
            hasChiSquareBounds: true);

    private static LocationScaleModel<StandardNormal> Lognormal()
    {
        var distribution = default(StandardNormal);
        return new LocationScaleModel<StandardNormal>(
            new LogLocationScaleFamily(
                "lognormal", "Lognormal", "Meeker and Escobar 1998, 4.6 and ch. 8", distribution,
                new LocationSigmaParameterisation(), new ProbabilityPlotScale(distribution, "normal")),
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
