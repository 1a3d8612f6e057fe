using Reliability.Engine.Abstractions;
using Reliability.Engine.PlugIns.Tests.Guarding;

namespace Reliability.Engine.PlugIns.Tests.Registration;

/// <summary>What is taken in, and what is refused as a whole.</summary>
public sealed class PlugInCatalogTests
{
    [Fact]
    public void Our_own_models_come_by_the_same_way_and_first()
    {
        var catalog = PlugInCatalog.Of([], []);
        var own = Assert.Single(catalog.PlugIns);
        Assert.All(catalog.Models.Models, m => Assert.Equal(own, m.Description.PlugIn));
        Assert.Same(catalog.Models.Models[0], catalog.Models.Default);
        Assert.Equal(
            BuiltInLifeModels.PlugIn.Estimators.Count + BuiltInLifeModels.PlugIn.Families.Count, catalog.Models.Models.Count);
    }

    [Fact]
    public void A_plug_in_s_models_say_where_they_come_from()
    {
        var catalog = PlugInCatalog.Of([new("place", new PlugInOf([new OddFamily()]), "sha256:abc")], []);
        Assert.True(catalog.Models.TryGet("odd", out var model));
        Assert.Equal(new("odd-plug-in", "7", "Nobody", "sha256:abc"), model.Description.PlugIn);
        Assert.EndsWith(" with odd-plug-in 7 sha256:abc", model.Description.Version, StringComparison.Ordinal);
        Assert.StartsWith(catalog.Models.EngineVersion, model.Description.Version, StringComparison.Ordinal);
        Assert.Equal("a test", model.Description.Source);
    }

    [Fact]
    public void Of_two_that_claim_an_id_the_first_has_it()
    {
        var catalog = PlugInCatalog.Of(
            [
                new("one", new PlugInOf([new OddFamily()]), ""),
                new("two", new PlugInOf([new OddFamily { Id = "other" }]), ""),
                new("three", new PlugInOf([new OddFamily()]) { Id = "third" }, ""),
                new("four", new PlugInOf([new OddFamily { Id = "weibull" }]) { Id = "fourth" }, ""),
            ],
            [new("zero", "Refused before.")]);
        Assert.Equal(["zero", "two", "three", "four"], catalog.Refused.Select(r => r.Place));
        Assert.Equal("There is a plug-in with the id odd-plug-in already.", catalog.Refused[1].Reason);
        Assert.Equal("Its life model odd has the id of one of the plug-in odd-plug-in.", catalog.Refused[2].Reason);
        Assert.Equal("Its life model weibull has the id of one of the plug-in built-in.", catalog.Refused[3].Reason);
        Assert.Equal(2, catalog.PlugIns.Count);
    }

    public static TheoryData<string, ILifeModelPlugIn> Impossible() => new()
    {
        { "id", new PlugInOf([new OddFamily()]) { Id = "Odd Plug-In" } },
        { "version", new PlugInOf([new OddFamily()]) { Version = " " } },
        { "publisher", new PlugInOf([new OddFamily()]) { Publisher = "a\nb" } },
        { "1 to 100", new PlugInOf([]) },
        { "threw InvalidOperationException while describing itself", new PlugInOf(null!) },
        { "Two of its life models", new PlugInOf([new OddFamily(), new OddFamily()]) },
        { "family's id", new PlugInOf([new OddFamily { Id = "ODD" }]) },
        { "one to five parameters", new PlugInOf([new OddFamily { Parameters = [] }]) },
        { "share a name", new PlugInOf([new OddFamily { Parameters = [ParameterDescription.Positive("a"), ParameterDescription.Positive("a")] }]) },
        { "small letters", new PlugInOf([new OddFamily { Parameters = [ParameterDescription.Positive("a b")] }]) },
        { "hours or empty", new PlugInOf([new OddFamily { Parameters = [ParameterDescription.Positive("a", "days")] }]) },
        { "domain", new PlugInOf([new OddFamily { Parameters = [new("a", "", 1, 0, ParameterTransform.Identity)] }]) },
        { "domain", new PlugInOf([new OddFamily { Parameters = [new("a", "", 0, double.PositiveInfinity, ParameterTransform.Logit)] }]) },
    };

    [Theory]
    [MemberData(nameof(Impossible))]
    public void What_says_impossible_things_of_itself_is_refused_and_the_rest_is_there(string reason, ILifeModelPlugIn plugIn)
    {
        var catalog = PlugInCatalog.Of([new("place", plugIn, ""), new("good", new PlugInOf([new OddFamily()]) { Id = "good" }, "")], []);
        Assert.Contains(reason, Assert.Single(catalog.Refused).Reason, StringComparison.Ordinal);
        Assert.Equal(["built-in", "good"], catalog.PlugIns.Select(p => p.Id));
    }
}
