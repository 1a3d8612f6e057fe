namespace Reliability.Engine.Conformance.Tests;

/// <summary>The models that ship keep every rule.</summary>
public sealed class BuiltInTests
{
    private static readonly Dictionary<string, Lazy<FamilyUnderTest>> Families =
        BuiltIns.FamilyIds.ToDictionary(id => id, id => new Lazy<FamilyUnderTest>(() => BuiltIns.Family(id)));

    private static readonly Dictionary<string, Lazy<LifeModelUnderTest>> Models =
        BuiltIns.Ids.ToDictionary(id => id, id => new Lazy<LifeModelUnderTest>(() => BuiltIns.LifeModel(id)));

    public static TheoryData<string, string> FamilyRules()
    {
        var data = new TheoryData<string, string>();
        foreach (var id in BuiltIns.FamilyIds)
        {
            // Recovery and scale are tried on the life model below, by the same rule on the same model.
            foreach (var rule in ConformanceRules.ForFamilies.Where(rule => rule.Name is not ("recovery" or "scale")))
                data.Add(id, rule.Name);
        }

        return data;
    }

    public static TheoryData<string, string> ModelRules()
    {
        var data = new TheoryData<string, string>();
        foreach (var id in BuiltIns.Ids)
        {
            foreach (var rule in ConformanceRules.ForLifeModels)
                data.Add(id, rule.Name);
        }

        return data;
    }

    [Theory]
    [MemberData(nameof(FamilyRules))]
    public void Distributions_keep_every_rule(string id, string rule) =>
        Kept(ConformanceRules.ForFamilies.Single(r => r.Name == rule).Check(Families[id].Value));

    [Theory]
    [MemberData(nameof(ModelRules))]
    public void Life_models_keep_every_rule(string id, string rule)
    {
        var result = ConformanceRules.ForLifeModels.Single(r => r.Name == rule).Check(Models[id].Value);
        Kept(result);

        // All of ours have standard errors and bounds: a rule about them that finds none would be idle.
        Assert.True(rule is not ("standard-errors" or "bounds-hold-truth") || result.Verdict == ConformanceVerdict.Kept, result.ToString());
    }

    private static void Kept(ConformanceResult result)
    {
        Assert.True(result.Verdict is ConformanceVerdict.Kept or ConformanceVerdict.NotClaimed, result.ToString());
        Assert.False(string.IsNullOrWhiteSpace(result.Text));
    }
}
