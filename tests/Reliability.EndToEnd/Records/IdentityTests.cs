using System.Net;
using System.Net.Http.Json;
using System.Text.Json;
using Grpc.Core;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;
using static Reliability.EndToEnd.Records.Posting;

namespace Reliability.EndToEnd.Records;

/// <summary>Modules under all their names: UDIs in any form, joined ids, spellings, and meters of their hosts.</summary>
public sealed class IdentityTests(SharedService shared)
{
    private const string Gs = "\u001d";

    private static CancellationToken Token => TestContext.Current.CancellationToken;

    private ModuleHistoryService.ModuleHistoryServiceClient History => shared.Clients.History;

    [Fact]
    public async Task A_module_posted_by_UDI_is_one_module_in_every_form()
    {
        var posting = new Posting(shared.Clients, "udi");
        var receipts = await posting.ReceiptsAsync(
            posting.Event("registered", "udi:(01)51022222233336(11)141231(10)A213B1(21)1234", Time(2024, 1, 1), e => e.Registered = new()
            {
                ModuleModel = "moduleModels/udi-model",
                AgeHours = 0,
            }),
            posting.Event("read", "udi:]d20151022222233336" + "11141231" + "10A213B1" + Gs + "211234", Time(2024, 1, 2), e => e.RunHoursRead = Read(7)));
        Assert.All(receipts, receipt => Assert.NotEqual("MODULE_NOT_REGISTERED", receipt.UnresolvedReason));

        // As scanned, over HTTP: the separator is %1D in a query.
        var found = await shared.Clients.Http.GetFromJsonAsync<JsonElement>(
            "/v1/modules?minimumRevision=" + receipts[1].Revision + "&filter="
            + Uri.EscapeDataString("udi = \"0151022222233336" + "211234" + Gs + "10A213B1" + Gs + "11141231\""), Token);
        var module = Assert.Single(found.GetProperty("modules").EnumerateArray());
        Assert.Equal(
            "(01)51022222233336(11)141231(10)A213B1(21)1234",
            Assert.Single(module.GetProperty("identifiers").EnumerateArray()).GetProperty("value").GetString());

        var refused = Assert.Single(await posting.ResultsAsync(
            posting.Event("wrong", "udi:(01)51022222233337(21)1234", Time(2024, 1, 1), e => e.RunHoursRead = Read(7))));
        Assert.Equal(["events[0].module"], StatusDetails.Fields(refused.Error));
        Assert.Contains("at character 18: (01) must end in its check digit, 6; got 7", refused.Error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Two_ids_are_joined_and_parted_over_gRPC_and_JSON()
    {
        await ModelAsync(shared.Clients, "join-model", 2000);
        var posting = new Posting(shared.Clients, "join");
        var receipts = await posting.ReceiptsAsync(
            posting.Event("r", "modules/join-a", Time(2024, 1, 1), e => e.Registered = new() { ModuleModel = "moduleModels/join-model", AgeHours = 0 }),
            posting.Event("i", "modules/join-a", Time(2024, 1, 1, 1), e => e.Installed = new() { HostDevice = "h", ReadingHours = 0, Site = "Join Gen." }),
            posting.Event("m", "modules/join-b", Time(2024, 1, 9), e => e.RunHoursRead = Read(90)));
        var before = await GetAsync("modules/join-a", receipts[2].Revision);

        var alias = await History.CreateAliasAsync(
            new CreateAliasRequest { Alias = new() { Kind = AliasKind.Module, Alternate = "modules/join-b", Primary = "modules/join-a" } },
            cancellationToken: Token);

        var joined = await GetAsync("modules/join-b", alias.Revision);
        Assert.Equal(("modules/join-a", "modules/join-b"), (joined.Name, Assert.Single(joined.JoinedModules)));
        Assert.Equal(90, joined.Age.LowerHours);
        Assert.Equal(joined, await GetAsync("modules/join-a", alias.Revision));
        var record = await History.ListModuleEventsAsync(new ListModuleEventsRequest { Parent = "modules/join-b" }, cancellationToken: Token);
        Assert.Equal(["modules/join-a", "modules/join-a", "modules/join-b"], record.Events.Select(e => e.Event.Module));
        var lives = await History.ListLivesAsync(
            new ListLivesRequest { Cohort = new() { ModuleModels = { "moduleModels/join-model" } }, MinimumRevision = alias.Revision }, cancellationToken: Token);
        Assert.Equal("modules/join-a", Assert.Single(lives.Lives).Module);

        // A spelling, over HTTP; then both taken back.
        using var created = await shared.Clients.Http.PostAsJsonAsync(
            "/v1/aliases", new { kind = "ALIAS_KIND_SITE", alternate = "Join Gen.", primary = "Join General" }, Token);
        Assert.Equal(HttpStatusCode.OK, created.StatusCode);
        var spelling = await created.Content.ReadFromJsonAsync<JsonElement>(Token);
        Assert.Equal("Join General", (await GetAsync("modules/join-a", spelling.GetProperty("revision").GetString()!)).Site);
        var bySite = await History.ListLivesAsync(
            new ListLivesRequest { Cohort = new() { Sites = { "Join Gen." } } }, cancellationToken: Token);
        Assert.Equal("Join General", Assert.Single(bySite.Lives).Site);
        var listed = await shared.Clients.Http.GetFromJsonAsync<JsonElement>("/v1/aliases?kind=ALIAS_KIND_SITE", Token);
        Assert.Contains(listed.GetProperty("aliases").EnumerateArray(), one => one.GetProperty("alternate").GetString() == "Join Gen.");

        using var deleted = await shared.Clients.Http.DeleteAsync(
            $"/v1/{spelling.GetProperty("name").GetString()}?etag={spelling.GetProperty("etag").GetString()}", Token);
        Assert.Equal(HttpStatusCode.OK, deleted.StatusCode);
        var parted = await History.DeleteAliasAsync(new DeleteAliasRequest { Name = alias.Name, Etag = alias.Etag }, cancellationToken: Token);
        Assert.Equal(before, await GetAsync("modules/join-a", parted.Revision));
        Assert.Equal(1, (await GetAsync("modules/join-b", parted.Revision)).UnresolvedEventCount);
    }

    [Fact]
    public async Task What_cannot_be_an_alias_is_refused_by_field_and_rule()
    {
        var first = await CreateAsync("modules/refused-b", "modules/refused-a");

        await RefusedAsync(StatusCode.AlreadyExists, "RESOURCE_EXISTS", null, () => CreateAsync("modules/refused-b", "modules/refused-c"));
        await RefusedAsync(StatusCode.FailedPrecondition, "ALIAS_CIRCULAR", "alias.primary", () => CreateAsync("modules/refused-a", "modules/refused-b"));
        await RefusedAsync(StatusCode.InvalidArgument, "INVALID_FIELDS", "alias.primary", () => CreateAsync("modules/refused-a", "modules/refused-a"));
        await RefusedAsync(StatusCode.InvalidArgument, "INVALID_FIELDS", "alias.alternate", () => CreateAsync("serial:1", "modules/refused-a"));
        await RefusedAsync(StatusCode.InvalidArgument, "INVALID_FIELDS", "alias.kind", async () => await History.CreateAliasAsync(
            new CreateAliasRequest { Alias = new() { Alternate = "a", Primary = "b" } }, cancellationToken: Token));
        await RefusedAsync(StatusCode.InvalidArgument, "INVALID_FIELDS", "alias", async () => await History.CreateAliasAsync(
            new CreateAliasRequest(), cancellationToken: Token));
        await RefusedAsync(StatusCode.Aborted, "ETAG_MISMATCH", null, async () => await History.DeleteAliasAsync(
            new DeleteAliasRequest { Name = first.Name, Etag = "0" }, cancellationToken: Token));
        await RefusedAsync(StatusCode.NotFound, "RESOURCE_NOT_FOUND", null, async () => await History.DeleteAliasAsync(
            new DeleteAliasRequest { Name = "aliases/none" }, cancellationToken: Token));
        await RefusedAsync(StatusCode.InvalidArgument, "INVALID_FIELDS", "name", async () => await History.DeleteAliasAsync(
            new DeleteAliasRequest { Name = "modules/none" }, cancellationToken: Token));

        var checkedOnly = await History.CreateAliasAsync(
            new CreateAliasRequest
            {
                Alias = new() { Kind = AliasKind.Module, Alternate = "modules/refused-d", Primary = "modules/refused-a" },
                ValidateOnly = true,
            },
            cancellationToken: Token);
        Assert.Empty(checkedOnly.Name);
        await CreateAsync("modules/refused-d", "modules/refused-a");
    }

    [Fact]
    public async Task The_meter_of_a_host_is_posted_once_for_the_modules_fitted_there()
    {
        await ModelAsync(shared.Clients, "host-model", 2000);
        var posting = new Posting(shared.Clients, "hosts");
        await posting.ReceiptsAsync(
            posting.Event("early", "host:Ward 3/vent 7", Time(2024, 2, 1), e => e.RunHoursRead = Read(500)),
            Register("host-a"), Install("host-a", Time(2024, 1, 1), 100),
            posting.Event("out", "modules/host-a", Time(2024, 2, 10), e => e.Removed = new() { Reason = RemovalReason.Planned, ReadingHours = 600 }),
            Register("host-b"), Install("host-b", Time(2024, 2, 10), 600));
        var late = Assert.Single(await posting.ReceiptsAsync(
            posting.Event("late", "host:Ward 3/vent 7", Time(2024, 3, 1), e => e.RunHoursRead = Read(900))));
        Assert.Empty(late.UnresolvedReason);

        var lives = await History.ListLivesAsync(
            new ListLivesRequest { Cohort = new() { ModuleModels = { "moduleModels/host-model" } }, MinimumRevision = late.Revision }, cancellationToken: Token);
        Assert.Equal([500.0, 300.0], lives.Lives.Select(life => life.Observation.SurvivalHours));
        var record = await History.ListModuleEventsAsync(new ListModuleEventsRequest { Parent = "modules/host-b" }, cancellationToken: Token);
        Assert.Equal(["modules/host-b", "modules/host-b", "host:Ward 3/vent 7"], record.Events.Select(e => e.Event.Module));
        Assert.Equal(Meter.Host, record.Events[2].Event.RunHoursRead.Meter);

        var refused = Assert.Single(await posting.ResultsAsync(
            posting.Event("failed", "host:Ward 3/vent 7", Time(2024, 3, 2), e => e.Failed = new())));
        Assert.Equal(["events[0].module"], StatusDetails.Fields(refused.Error));

        ModuleEvent Register(string module) => posting.Event(module + "-r", "modules/" + module, Time(2024, 1, 1), e =>
            e.Registered = new() { ModuleModel = "moduleModels/host-model", AgeHours = 0 });
        ModuleEvent Install(string module, Google.Protobuf.WellKnownTypes.Timestamp time, double hours) => posting.Event(module + "-i", "modules/" + module, time, e =>
            e.Installed = new() { HostDevice = "Ward 3/vent 7", Meter = Meter.Host, ReadingHours = hours });
    }

    private async Task<Module> GetAsync(string name, string revision) => await History.GetModuleAsync(
        new GetModuleRequest { Name = name, MinimumRevision = revision }, cancellationToken: Token);

    private async Task<Alias> CreateAsync(string alternate, string primary) => await History.CreateAliasAsync(
        new CreateAliasRequest { Alias = new() { Kind = AliasKind.Module, Alternate = alternate, Primary = primary } }, cancellationToken: Token);

    private static async Task RefusedAsync(StatusCode code, string reason, string? field, Func<Task> ask)
    {
        var refused = await Assert.ThrowsAsync<RpcException>(ask);
        Assert.Equal(code, refused.StatusCode);
        Assert.Equal(reason, StatusDetails.Reason(StatusDetails.Of(refused)));
        if (field is not null)
            Assert.Contains(field, StatusDetails.Fields(StatusDetails.Of(refused)));
    }

    private static RunHoursRead Read(double hours) => new() { Readings = { new MeterReading { Hours = hours } } };
}
