using System.Net;
using System.Text;
using Grpc.Core;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.Records;

/// <summary>The catalogue over the wire: add, get, list, change by mask and etag.</summary>
public sealed class CatalogueTests(SharedService shared)
{
    private static CancellationToken Token => TestContext.Current.CancellationToken;

    private ModuleCatalogService.ModuleCatalogServiceClient Catalogue => shared.Clients.Catalogue;

    [Fact]
    public async Task A_model_comes_back_as_it_was_added()
    {
        var model = new ModuleModel
        {
            DisplayName = "Lamp of the test",
            PartNumber = "P-1",
            OutputUnit = "uW/cm2/nm",
            OutputThreshold = new() { MeasuredValue = 20 },
            RatedLives = { new RatedLife { ConditionClass = ConditionClass.Refurbished, Refurbisher = "Vennick Works", RatedHours = 1500, WarrantyDays = 90 } },
            Costs = new() { CurrencyCode = "EUR", NewModuleCost = 400 },
            Cautions = { new Caution { Code = "COOL_DOWN", Text = "Let it cool down." } },
        };

        var added = await Catalogue.CreateModuleModelAsync(
            new CreateModuleModelRequest { ModuleModelId = "catalogue-lamp", ModuleModel = model }, cancellationToken: Token);
        var got = await Catalogue.GetModuleModelAsync(new GetModuleModelRequest { Name = "moduleModels/catalogue-lamp" }, cancellationToken: Token);

        Assert.Equal(added, got);
        Assert.NotEmpty(got.Etag);
        model.Name = got.Name;
        (model.Etag, model.CreateTime, model.UpdateTime, model.Revision) = (got.Etag, got.CreateTime, got.UpdateTime, got.Revision);
        Assert.Equal(model, got);
        var twice = await Assert.ThrowsAsync<RpcException>(async () => await Catalogue.CreateModuleModelAsync(
            new CreateModuleModelRequest { ModuleModelId = "catalogue-lamp", ModuleModel = model }, cancellationToken: Token));
        Assert.Equal(StatusCode.AlreadyExists, twice.StatusCode);
        Assert.Equal("RESOURCE_EXISTS", StatusDetails.Reason(StatusDetails.Of(twice)));
    }

    [Fact]
    public async Task An_update_changes_the_fields_of_its_mask_alone()
    {
        await Posting.ModelAsync(shared.Clients, "mask-lamp", 2000);
        var request = new UpdateModuleModelRequest
        {
            ModuleModel = new() { Name = "moduleModels/mask-lamp", PartNumber = "P-2", DisplayName = "not asked for" },
            UpdateMask = new() { Paths = { "part_number" } },
        };

        var updated = await Catalogue.UpdateModuleModelAsync(request, cancellationToken: Token);

        Assert.Equal(("P-2", "mask-lamp", 2000), (updated.PartNumber, updated.DisplayName, updated.RatedLives[0].RatedHours));
        request.ModuleModel.Etag = "1";
        var late = await Assert.ThrowsAsync<RpcException>(async () => await Catalogue.UpdateModuleModelAsync(request, cancellationToken: Token));
        Assert.Equal(StatusCode.Aborted, late.StatusCode);
        Assert.Equal("ETAG_MISMATCH", StatusDetails.Reason(StatusDetails.Of(late)));
        request.UpdateMask.Paths[0] = "create_time";
        var fixedField = await Assert.ThrowsAsync<RpcException>(async () => await Catalogue.UpdateModuleModelAsync(request, cancellationToken: Token));
        Assert.Equal(["update_mask.paths[0]"], StatusDetails.Fields(StatusDetails.Of(fixedField)));
    }

    [Fact]
    public async Task An_answer_can_wait_for_the_states_that_a_change_of_a_model_derives_anew()
    {
        var added = await Posting.ModelAsync(shared.Clients, "waited-lamp", 2000);
        var posting = new Posting(shared.Clients, "waited");
        await posting.ReceiptsAsync(Enumerable.Range(0, 20).SelectMany(i => new[]
        {
            posting.Event($"{i}-a", $"modules/waited-lamp-{i}", Posting.Time(2024, 1, 1), e => e.Registered = new() { ModuleModel = added.Name, AgeHours = 0, ReadingHours = 0 }),
            posting.Event($"{i}-b", $"modules/waited-lamp-{i}", Posting.Time(2024, 1, 2), e => e.Installed = new() { HostDevice = $"waited-h{i}", ReadingHours = 0 }),
        }));
        var change = new UpdateModuleModelRequest { ModuleModel = new() { Name = added.Name, RatedLives = { new RatedLife { RatedHours = 1500 } } } };

        var updated = await Catalogue.UpdateModuleModelAsync(change, cancellationToken: Token);
        var modules = await shared.Clients.History.ListModulesAsync(
            new ListModulesRequest { Filter = "module_model = moduleModels/waited-lamp", MinimumRevision = updated.Revision },
            cancellationToken: Token);

        Assert.NotEqual(added.Revision, updated.Revision);
        Assert.Equal(20, modules.Modules.Count);
        Assert.All(modules.Modules, module => Assert.Equal(1500, module.RatedHours));
    }

    [Fact]
    public async Task A_mask_in_a_json_query_is_spelt_in_camel_case()
    {
        await Posting.ModelAsync(shared.Clients, "json-mask-lamp", 2000);

        using var content = new StringContent("""{"displayName": "Changed", "partNumber": "not asked for"}""", Encoding.UTF8, "application/json");
        using var response = await shared.Clients.Http.PatchAsync(
            new Uri("/v1/moduleModels/json-mask-lamp?updateMask=displayName", UriKind.Relative), content, Token);

        Assert.Equal(HttpStatusCode.OK, response.StatusCode);
        using var other = new StringContent("""{"name": "moduleModels/other-lamp"}""", Encoding.UTF8, "application/json");
        using var refused = await shared.Clients.Http.PatchAsync(
            new Uri("/v1/moduleModels/json-mask-lamp", UriKind.Relative), other, Token);
        Assert.Equal(["module_model.name"], StatusDetails.Fields(await StatusDetails.OfAsync(refused)));
        var got = await Catalogue.GetModuleModelAsync(new GetModuleModelRequest { Name = "moduleModels/json-mask-lamp" }, cancellationToken: Token);
        Assert.Equal(("Changed", ""), (got.DisplayName, got.PartNumber));
    }

    [Fact]
    public async Task Checking_alone_changes_nothing()
    {
        var checkedOnly = await Catalogue.CreateModuleModelAsync(
            new CreateModuleModelRequest { ModuleModelId = "checked-lamp", ModuleModel = new() { DisplayName = "x" }, ValidateOnly = true },
            cancellationToken: Token);

        Assert.Equal("moduleModels/checked-lamp", checkedOnly.Name);
        var missing = await Assert.ThrowsAsync<RpcException>(async () => await Catalogue.GetModuleModelAsync(
            new GetModuleModelRequest { Name = "moduleModels/checked-lamp" }, cancellationToken: Token));
        Assert.Equal(StatusCode.NotFound, missing.StatusCode);
        var details = StatusDetails.Of(missing).GetDetail<Google.Rpc.ResourceInfo>();
        Assert.Equal(("reliability/ModuleModel", "moduleModels/checked-lamp"), (details.ResourceType, details.ResourceName));
    }

    [Theory]
    [InlineData("Lamp", "module_model_id")]
    [InlineData("", "module_model_id")]
    public async Task A_malformed_id_is_refused(string id, string field)
    {
        var refused = await Assert.ThrowsAsync<RpcException>(async () => await Catalogue.CreateModuleModelAsync(
            new CreateModuleModelRequest { ModuleModelId = id, ModuleModel = new() { DisplayName = "x" } }, cancellationToken: Token));

        Assert.Equal(StatusCode.InvalidArgument, refused.StatusCode);
        Assert.Equal([field], StatusDetails.Fields(StatusDetails.Of(refused)));
    }

    [Fact]
    public async Task Values_out_of_range_are_refused_with_their_paths()
    {
        var model = new ModuleModel
        {
            OutputThreshold = new() { Fraction = 1.5 },
            RatedLives = { new RatedLife { RatedHours = -1 } },
            Costs = new() { CurrencyCode = "euros", NewModuleCost = double.NaN },
            Cautions = { new Caution { Code = "cool down", Text = "x" } },
        };

        var refused = await Assert.ThrowsAsync<RpcException>(async () => await Catalogue.CreateModuleModelAsync(
            new CreateModuleModelRequest { ModuleModelId = "bad-lamp", ModuleModel = model }, cancellationToken: Token));

        Assert.Equal(
            [
                "module_model.cautions[0].code", "module_model.costs.currency_code", "module_model.costs.new_module_cost",
                "module_model.output_threshold.fraction", "module_model.rated_lives[0].rated_hours",
            ],
            StatusDetails.Fields(StatusDetails.Of(refused)).Distinct().Order());
        var nothing = await Assert.ThrowsAsync<RpcException>(async () => await Catalogue.CreateModuleModelAsync(
            new CreateModuleModelRequest { ModuleModelId = "no-lamp" }, cancellationToken: Token));
        Assert.Equal(["module_model"], StatusDetails.Fields(StatusDetails.Of(nothing)));
    }
}
