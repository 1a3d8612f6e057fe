using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Conformance.Tests;

/// <summary>What an author writes: a class derived from the kit's gets a test for each rule.</summary>
public sealed class LoglogisticConformance : FamilyConformance
{
    protected override ILifeFamily Family { get; } = BuiltIns.Model("loglogistic").Family!;

    protected override string Source => "Lawless 2003, 1.3.3";

    protected override IReadOnlyList<double[]> Members { get; } = [[2.3, 600], [30, 1e9]];

    protected override FamilyUnderTest UnderTest() => new(Family, Source, Members) { Lives = FamilyUnderTest.FewestLives };
}

/// <summary>The same for a life model.</summary>
public sealed class ExponentialModelConformance : LifeModelConformance
{
    protected override ILifeModel Model { get; } = BuiltIns.Model("exponential");

    protected override IReadOnlyList<double[]> Members { get; } = [[1234]];

    protected override LifeModelUnderTest UnderTest() => new(Model, Members) { Lives = FamilyUnderTest.FewestLives };
}

/// <summary>The thin layer for xunit.</summary>
public sealed class DerivedClassTests
{
    [Fact]
    public void A_broken_rule_fails_its_test_with_demand_and_finding()
    {
        var failed = Assert.Throws<ConformanceFailedException>(() => new NamelessConformance().Keeps("description"));
        Assert.Equal("description", failed.Result.Rule);
        Assert.Contains("where it is published", failed.Message, StringComparison.Ordinal);
        new NamelessConformance().Keeps("domains");
    }

    [Fact]
    public void Rules_have_names_of_their_own_and_say_what_they_demand_and_why()
    {
        Assert.All(ConformanceRules.ForFamilies, rule => Assert.True(rule.Demand.Length > 0 && rule.Reason.Length > 0));
        Assert.All(ConformanceRules.ForLifeModels, rule => Assert.True(rule.Demand.Length > 0 && rule.Reason.Length > 0));
        Assert.Distinct(ConformanceRules.ForFamilies.Select(rule => rule.Name));
        Assert.Distinct(ConformanceRules.ForLifeModels.Select(rule => rule.Name));
    }

    [Fact]
    public void Every_rule_has_a_wrong_family_or_model_that_breaks_it()
    {
        Assert.Empty(ConformanceRules.ForFamilies.Select(r => r.Name).Except(WrongFamilies.All.Select(w => w.Rule)));
        Assert.Empty(ConformanceRules.ForLifeModels.Select(r => r.Name).Except(WrongModels.All.Select(w => w.Rule)));
    }

    private sealed class NamelessConformance : FamilyConformance
    {
        protected override ILifeFamily Family { get; } = BuiltIns.Model("exponential").Family!;

        protected override string Source => " ";

        protected override IReadOnlyList<double[]> Members { get; } = [[1234], [20]];
    }
}
