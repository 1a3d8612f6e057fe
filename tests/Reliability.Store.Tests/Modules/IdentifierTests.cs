using Reliability.History.Events;
using Reliability.Store.Modules;
using Xunit;

namespace Reliability.Store.Tests.Modules;

/// <summary>Modules are found by serial number, UDI and asset number, however these were typed or scanned.</summary>
public sealed class IdentifierTests(SharedServer server) : StoreTest(server)
{
    private const string Canonical = "(01)51022222233336(17)150707(10)A213B1(21)1234";
    private const string Scanned = "]d2015102222223333617150707" + "10A213B1\u001d211234";

    [Fact]
    public async Task Any_spelling_of_a_UDI_finds_the_module_and_its_serial_number_finds_all_that_carry_it()
    {
        await RecordAndWaitAsync(
            Registered("m-1", new() { Kind = IdentifierKind.Udi, Value = Scanned }),
            Registered("m-2", new() { Kind = IdentifierKind.Udi, Value = "(21)1234(01)09506000134352" }),
            Registered("m-3", new() { Kind = IdentifierKind.Serial, Value = " 1234 " }),
            Registered("m-4", new() { Kind = IdentifierKind.Udi, Value = "+H123PARTNO1234567890120" }));

        foreach (var spelling in (string[])[Canonical, Scanned, "(21)1234(10)A213B1(17)150707(01)51022222233336"])
        {
            Assert.Equal(["m-1"], await Organisation.Modules.FindByIdentifierAsync(IdentifierKind.Udi, spelling, Cancellation));
            Assert.Equal(["m-1"], await ListAsync(new() { Udi = spelling }));
        }

        Assert.Equal(["m-4"], await ListAsync(new() { Udi = "+H123PARTNO1234567890120 " }));
        Assert.Equal(["m-1", "m-2", "m-3"], await ListAsync(new() { SerialNumber = "1234" }));
        Assert.Empty(await ListAsync(new() { Udi = "(01)51022222233336(21)1234" }));

        // The record keeps what was scanned; what is derived has the one spelling.
        var module = (await Organisation.Modules.GetAsync("m-1", null, Cancellation))!;
        Assert.Equal(Canonical, Assert.Single(module.Derived.Identifiers).Value);
        Assert.Equal(Scanned, Assert.IsType<RegisteredV1>(Assert.Single(module.Record.Events).Body).Identifiers[0].Value);
    }

    private async Task<IEnumerable<string>> ListAsync(ModuleFilter filter) =>
        (await Organisation.Modules.ListAsync(filter, null, 10, null, Cancellation)).Items.Select(item => item.Summary.Module.ModuleId);

    private static RecordedEvent Registered(string module, ModuleIdentifier identifier) => Scenario.Event(
        module, $"{module}-registered", 0, new RegisteredV1 { Model = Scenario.Model, AgeHours = 0, Identifiers = [identifier] });
}
