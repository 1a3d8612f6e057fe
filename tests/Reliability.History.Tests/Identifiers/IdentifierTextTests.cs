using Reliability.History.Events;
using Reliability.History.Identifiers;
using Xunit;

namespace Reliability.History.Tests.Identifiers;

/// <summary>One spelling for each identifier, and what a module is found by.</summary>
public sealed class IdentifierTextTests
{
    private const string Canonical = "(01)51022222233336(10)A213B1(21)1234";

    [Theory]
    [InlineData(IdentifierKind.Udi, "]d2015102222223333610A213B1\u001d211234", Canonical)]
    [InlineData(IdentifierKind.Udi, " +H123PARTNO1234567890120 ", "+H123PARTNO1234567890120")]
    [InlineData(IdentifierKind.Udi, "(01)1", "(01)1")]
    [InlineData(IdentifierKind.Serial, "015102222223333621A", "015102222223333621A")]
    [InlineData(IdentifierKind.Asset, " QG-2231 ", "QG-2231")]
    public void Only_what_is_of_GS1_is_spelt_anew(IdentifierKind kind, string value, string canonical) =>
        Assert.Equal(canonical, IdentifierText.Canonical(kind, value));

    [Fact]
    public void A_module_is_found_by_the_serial_number_within_its_UDI_too() => Assert.Equal(
        [(IdentifierKind.Udi, Canonical), (IdentifierKind.Serial, "1234")],
        IdentifierText.FoundBy(
        [
            new() { Kind = IdentifierKind.Udi, Value = "015102222223333610A213B1\u001d211234" },
            new() { Kind = IdentifierKind.Serial, Value = "1234" },
            new() { Kind = IdentifierKind.Udi, Value = Canonical },
        ]).Select(found => (found.Kind, found.Value)));

    [Fact]
    public void A_UDI_without_serial_number_names_no_single_module()
    {
        Assert.NotNull(IdentifierText.WhyNotOneModule(IdentifierKind.Udi, "(01)51022222233336(10)A213B1"));
        Assert.Null(IdentifierText.WhyNotOneModule(IdentifierKind.Udi, Canonical));
        Assert.Null(IdentifierText.WhyNotOneModule(IdentifierKind.Udi, "+H123PARTNO1234567890120"));
        Assert.Null(IdentifierText.BrokenRule(IdentifierKind.Udi, "(01)51022222233336(10)A213B1"));
        Assert.Equal(
            "begins as a GS1 element string and is none, at character 18: (01) must end in its check digit, 6; got 7",
            IdentifierText.BrokenRule(IdentifierKind.Udi, "(01)51022222233337"));
    }

    // Ids of modules that were posted by a canonical identifier stay what they were; the value was made by another program.
    [Fact]
    public void The_id_of_a_module_posted_by_UDI_is_that_of_the_canonical_form()
    {
        var before = EventIdentity.ModuleId("default", IdentifierKind.Udi, Canonical);

        Assert.Equal("7a46219f-42ad-5548-85d0-dd8c748cd642", before);
        Assert.Equal(before, EventIdentity.ModuleId(
            "default", IdentifierKind.Udi, IdentifierText.Canonical(IdentifierKind.Udi, "(21)1234(10)A213B1(01)51022222233336")));
    }
}
