using System.Net.Http.Json;
using System.Text.Json;
using Reliability.EndToEnd.CommandLine;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;
using static Reliability.EndToEnd.Records.Posting;

namespace Reliability.EndToEnd.Records;

/// <summary>
/// A module is found by each of its identifiers, the UDI in any form that scanners and people give it, over gRPC, JSON and the
/// command line; in use or retired.
/// </summary>
public sealed class LookUpTests(SharedService shared)
{
    private const string Gs = "\u001d", Quotes = "LU \"7\" \\ left";

    // FDA guidance and the General Specifications: parentheses, elements as scanned, with symbology identifier and FNC1.
    private static readonly string[] Udis =
    [
        "(01)51022222233336(11)141231(10)LOOK1(21)UP1", "(01)51022222233336(21)UP1(10)LOOK1(11)141231",
        "]d20151022222233336" + "11141231" + "10LOOK1" + Gs + "21UP1", "0151022222233336" + "21UP1" + Gs + "10LOOK1" + Gs + "11141231",
    ];

    private static CancellationToken Token => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_module_is_found_by_every_identifier_wherever_it_is_asked_for()
    {
        var posting = new Posting(shared.Clients, "look-up");
        var receipts = await posting.ReceiptsAsync(
            posting.Event("r", "modules/look-up", Time(2024, 1, 1), e => e.Registered = new()
            {
                ModuleModel = "moduleModels/look-up",
                AgeHours = 0,
                Identifiers =
                {
                    new Identifier { Kind = IdentifierKind.SerialNumber, Value = Quotes },
                    new Identifier { Kind = IdentifierKind.AssetNumber, Value = "LU-ASSET-7" },
                    new Identifier { Kind = IdentifierKind.Udi, Value = Udis[0] },
                },
            }),
            // A retired module must be found as well.
            posting.Event("x", "modules/look-up", Time(2024, 3, 1), e => e.Retired = new() { Reason = "worn out" }));

        (string Field, string Prefix, string Value)[] names =
        [
            ("serial_number", "serial", Quotes), ("asset_number", "asset", "LU-ASSET-7"), .. Udis.Select(udi => ("udi", "udi", udi)),
        ];
        foreach (var (field, prefix, value) in names)
        {
            var filter = $"{field} = \"{value.Replace("\\", "\\\\", StringComparison.Ordinal).Replace("\"", "\\\"", StringComparison.Ordinal)}\"";
            var found = await shared.Clients.History.ListModulesAsync(
                new ListModulesRequest { Filter = filter, MinimumRevision = receipts[^1].Revision }, cancellationToken: Token);
            Assert.Equal(["modules/look-up"], found.Modules.Select(module => module.Name));
            var json = await shared.Clients.Http.GetFromJsonAsync<JsonElement>("/v1/modules?filter=" + Uri.EscapeDataString(filter), Token);
            Assert.Equal("modules/look-up", Assert.Single(json.GetProperty("modules").EnumerateArray()).GetProperty("name").GetString());

            var asked = await CommandLineProcess.RunAsync(shared.Service.GrpcAddress, "module", $"{prefix}:{value}", "--json");
            Assert.Equal((0, ""), (asked.ExitCode, asked.Error));
            var module = JsonDocument.Parse(asked.Out).RootElement.GetProperty("module");
            Assert.Equal("modules/look-up", module.GetProperty("name").GetString());
            Assert.Equal("MODULE_STATE_RETIRED", module.GetProperty("state").GetString());
        }

        Assert.Equal(
            "modules/look-up", (await shared.Clients.History.GetModuleAsync(new GetModuleRequest { Name = "modules/look-up" }, cancellationToken: Token)).Name);
    }

    [Fact]
    public async Task A_module_posted_by_identifier_is_got_by_the_name_that_a_look_up_gives()
    {
        var posting = new Posting(shared.Clients, "looked-up");
        foreach (var (reference, field) in new[] { ("serial:LU-S-1", "serial_number"), ("asset:LU-A-1", "asset_number"), ("udi:(01)51022222233336(21)LU1", "udi") })
        {
            var receipt = Assert.Single(await posting.ReceiptsAsync(
                posting.Event(field, reference, Time(2024, 1, 2), e => e.Registered = new() { ModuleModel = "moduleModels/looked-up", AgeHours = 0 })));
            var found = Assert.Single((await shared.Clients.History.ListModulesAsync(
                new ListModulesRequest { Filter = $"{field} = \"{reference[(reference.IndexOf(':', StringComparison.Ordinal) + 1)..]}\"", MinimumRevision = receipt.Revision }, cancellationToken: Token)).Modules);
            Assert.Equal(found, await shared.Clients.History.GetModuleAsync(new GetModuleRequest { Name = found.Name }, cancellationToken: Token));
            Assert.Equal(reference[(reference.IndexOf(':', StringComparison.Ordinal) + 1)..], Assert.Single(found.Identifiers).Value);
        }
    }

    [Fact]
    public async Task A_udi_that_is_none_is_refused_with_its_place()
    {
        var asked = await CommandLineProcess.RunAsync(shared.Service.GrpcAddress, "module", "udi:(01)51022222233337(21)UP1");
        Assert.Equal(1, asked.ExitCode);
        Assert.Contains("check digit", asked.Error, StringComparison.Ordinal);
        Assert.Contains("filter", asked.Error, StringComparison.Ordinal);
    }
}
