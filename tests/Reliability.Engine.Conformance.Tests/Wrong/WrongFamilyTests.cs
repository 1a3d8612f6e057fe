namespace Reliability.Engine.Conformance.Tests;

/// <summary>Each wrong family breaks the rule that is meant for it and no other.</summary>
public sealed class WrongFamilyTests
{
    public static TheoryData<int, string> Wrong()
    {
        var data = new TheoryData<int, string>();
        for (var i = 0; i < WrongFamilies.All.Count; i++)
            data.Add(i, WrongFamilies.All[i].Make().GetType().Name + " breaks " + WrongFamilies.All[i].Rule);
        return data;
    }

    [Theory]
    [MemberData(nameof(Wrong))]
    public void A_wrong_family_breaks_its_rule_alone(int index, string what)
    {
        var (rule, make) = WrongFamilies.All[index];
        var family = make();

        // For the one that takes the logarithm of hours the scale is one of logarithms.
        double[][] members = family.Parameters[1].Unit.Length > 0 ? [[1.7, 600], [3, 2e4]] : [[5, 6], [7, 5]];
        var report = ConformanceReport.Of(new FamilyUnderTest(family, "A test", members) { Lives = 100 });
        Assert.True(report.Broken.Select(r => r.Rule).SequenceEqual([rule]), $"{what}:{Environment.NewLine}{report}");
        Assert.False(report.IsConformant);
    }
}
