using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Conformance.Tests;

/// <summary>The models that ship, with members as they occur.</summary>
internal static class BuiltIns
{
    private static readonly Dictionary<string, double[][]> Members = new()
    {
        ["weibull"] = [[1.7, 600], [0.8, 2e4], [20, 1e9]],
        ["exponential"] = [[1234], [1e-3]],
        ["lognormal"] = [[6.2, 0.9], [-14, 0.05], [5, 3]],
        ["loglogistic"] = [[2.3, 600], [30, 1e9]],
        ["gamma"] = [[2.2, 266], [0.5, 1e6], [1900, 1e-3]],
        ["normal"] = [[1e4, 900], [1e6, 3e4]],
        ["generalized-gamma"] = [[6, 0.7, 0.5], [5, 0.5, 0.8]],
        ["weibull3"] = [[3, 1850, 782], [4, 1e-3, 5e-4]],
        ["weibull-mixture2"] = [[0.4, 2, 100, 4, 5000], [0.6, 4, 1e-3, 3, 1e-2]],
        ["weibull-competing"] = [[0.9, 4000, 3, 1500]],
    };

    public static ILifeModelCatalog Catalog { get; } = BuiltInLifeModels.CreateCatalog();

    public static IReadOnlyList<string> Ids { get; } = [.. Catalog.Models.Select(m => m.Description.Id)];

    /// <summary>The distributions of models that have one whatever the sample.</summary>
    public static IReadOnlyList<string> FamilyIds { get; } = [.. Catalog.Models.Where(m => m.Family is not null).Select(m => m.Description.Id)];

    public static FamilyUnderTest Family(string id) => new(Model(id).Family!, Model(id).Description.Source, Members[id])
    {
        // A Weibull with location and a mixture are fitted in ways of their own.
        Model = Model(id),
        Lives = Lives(id),
    };

    public static LifeModelUnderTest LifeModel(string id) => Model(id).Description.Capabilities.FitsFailureModes
        ? LifeModel(Model(id), FamilyUnderTest.UsualLives)
        : new LifeModelUnderTest(Model(id), IsCostly(id) ? [Members[id][0]] : Members[id]) { Lives = Lives(id) };

    /// <summary>A model of one failure mode, a Weibull, or of two.</summary>
    public static LifeModelUnderTest LifeModel(ILifeModel model, int lives) => model.Description.Capabilities.FitsFailureModes
        ? new LifeModelUnderTest(model, Members["weibull-competing"]) { Distribution = _ => Series, FailureMode = Competing, Lives = lives }
        : new LifeModelUnderTest(model, [Members["weibull"][0]]) { Lives = lives };

    public static ILifeModel Model(string id) => Catalog.TryGet(id, out var model) ? model : throw new ArgumentException(id);

    /// <summary>Three parameters and more cost a hundred times as much to fit.</summary>
    private static bool IsCostly(string id) => Model(id).Description.Parameters.Count > 2;

    private static int Lives(string id) => id switch
    {
        // A location is far from normal in fewer lives; those of two incomplete gamma functions each are slow.
        "weibull3" => FamilyUnderTest.UsualLives,
        "generalized-gamma" or "gamma" => FamilyUnderTest.FewestLives,
        _ => 150,
    };

    /// <summary>The series of modes a and b, as a fit of any lives that failed so shows it.</summary>
    private static ILifeFamily Series { get; } = Model("weibull-competing").Fit(
        new LifeSampleBuilder().AddFailed(1, failureMode: "a").AddFailed(2, failureMode: "b").AddFailed(3, failureMode: "a").AddFailed(4, failureMode: "b").Build(),
        new FitOptions { BoundsMethod = BoundsMethod.NormalApproximation }).Value.Family!;

    /// <summary>By each mode's part of the hazard.</summary>
    private static string? Competing(double[] member, double hours, Random random)
    {
        double Hazard(int k) => member[k] / member[k + 1] * Math.Pow(hours / member[k + 1], member[k] - 1);
#pragma warning disable CA5394 // Simulation, not security.
        return random.NextDouble() * (Hazard(0) + Hazard(2)) < Hazard(0) ? "a" : "b";
#pragma warning restore CA5394
    }
}
