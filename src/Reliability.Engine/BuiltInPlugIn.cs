using Reliability.Engine.Abstractions;
using Reliability.Engine.Catalog;
using Reliability.Engine.Families;
using Reliability.Engine.Fitting;
using Reliability.Engine.LocationScale;
using Reliability.Engine.Plotting;

namespace Reliability.Engine;

/// <summary>Our own life models, offered as those of any plug-in are.</summary>
internal sealed class BuiltInPlugIn : ILifeModelPlugIn
{
    private static readonly LocationScaleModel<SmallestExtremeValue> OurWeibull = Weibull();

    public string Id => EngineVersion.BuiltIn.Id;

    public string Version => EngineVersion.BuiltIn.Version;

    public string Publisher => EngineVersion.BuiltIn.Publisher;

    public IReadOnlyList<ILifeModel> Estimators { get; } =
    [
        OurWeibull, Exponential(), Lognormal(), Loglogistic(), new Weibull3Model(), new MixtureModel(OurWeibull), new CompetingModel(OurWeibull),
    ];

    public IReadOnlyList<PublishedFamily> Families { get; } =
    [
        new(new GammaFamily(), "Lawless 2003, 1.3 and ch. 4"),
        new(new NormalFamily(), "Meeker and Escobar 1998, 4.5 and ch. 8"),
        new(new GeneralizedGammaFamily(), "Stacy 1962; Prentice 1974; Lawless 2003, 1.3 and ch. 5"),
    ];

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
