namespace Reliability.Engine.Conformance.Tests;

/// <summary>Each wrong life model breaks the rule that is meant for it and no other.</summary>
public sealed class WrongModelTests
{
    public static TheoryData<int, string> Wrong()
    {
        var data = new TheoryData<int, string>();
        for (var i = 0; i < WrongModels.All.Count; i++)
            data.Add(i, WrongModels.All[i].Make().GetType().Name + " breaks " + WrongModels.All[i].Rule);
        return data;
    }

    [Theory]
    [MemberData(nameof(Wrong))]
    public void A_wrong_life_model_breaks_its_rule_alone(int index, string what)
    {
        var (rule, make) = WrongModels.All[index];
        var report = ConformanceReport.Of(BuiltIns.LifeModel(make(), FamilyUnderTest.FewestLives));
        Assert.True(report.Broken.Select(r => r.Rule).SequenceEqual([rule]), $"{what}:{Environment.NewLine}{report}");
    }

    [Fact]
    public void The_model_behind_them_breaks_none()
    {
        var report = ConformanceReport.Of(new LifeModelUnderTest(new AlteredModel(), [[1.7, 600]]) { Lives = 100 });
        Assert.True(report.IsConformant, report.ToString());
    }
}
