using Google.Rpc;
using Grpc.Core;
using Reliability.Service.Catalogue;
using Reliability.Service.Errors;
using Reliability.Service.Events;
using Reliability.Service.Mapping;
using Reliability.Service.Paging;
using Reliability.Service.Validation;
using Reliability.Store;
using Reliability.Store.Catalogue;

namespace Reliability.Service.Endpoints;

/// <summary>ModuleCatalogService: the types of module.</summary>
internal sealed class ModuleCatalogEndpoint(RequestCheck requestCheck, OrganisationStore store)
    : V1.ModuleCatalogService.ModuleCatalogServiceBase
{
    // Two writers that merge into one model at once: the later one looks again.
    private const int MergeAttempts = 5;

    public override async Task<V1.ModuleModel> CreateModuleModel(
        V1.CreateModuleModelRequest request, ServerCallContext context)
    {
        var violations = requestCheck.Check(request);
        var name = ResourceNames.ModuleModel(request.ModuleModelId);
        if (request.ModuleModel is { Name.Length: > 0 } given && given.Name != name)
            violations.Add("module_model.name", "must be empty or belong to module_model_id");
        violations.ThrowIfAny();

        // The first version of a model holds from the beginning.
        var values = CatalogueMapping.FromWire(request.ModuleModel) with { EffectiveTime = null };
        if (request.ValidateOnly)
        {
            return await store.Catalogue.GetAsync(request.ModuleModelId, context.CancellationToken) is null
                ? CatalogueMapping.ToWire(request.ModuleModelId, values)
                : throw Refusals.AlreadyExists(ResourceNames.ModuleModelType, name);
        }

        return await store.Catalogue.CreateAsync(request.ModuleModelId, values, context.CancellationToken)
            is CatalogueOutcome.Stored stored
            ? CatalogueMapping.ToWire(stored.Model)
            : throw Refusals.AlreadyExists(ResourceNames.ModuleModelType, name);
    }

    public override async Task<V1.ModuleModel> GetModuleModel(V1.GetModuleModelRequest request, ServerCallContext context)
    {
        requestCheck.Enforce(request);
        return CatalogueMapping.ToWire(await FindAsync(request.Name, context.CancellationToken));
    }

    public override async Task<V1.ListModuleModelsResponse> ListModuleModels(
        V1.ListModuleModelsRequest request, ServerCallContext context)
    {
        requestCheck.Enforce(request);
        var page = await store.Catalogue.ListAsync(
            ListPage.Size(request.PageSize), StoreToken.Read(request, request.PageToken), context.CancellationToken);
        var response = new V1.ListModuleModelsResponse { NextPageToken = StoreToken.Make(request, page.Next) };
        response.ModuleModels.AddRange(page.Items.Select(CatalogueMapping.ToWire));
        return response;
    }

    public override async Task<V1.ModuleModel> UpdateModuleModel(
        V1.UpdateModuleModelRequest request, ServerCallContext context)
    {
        var violations = requestCheck.Check(request);
        if (request.ModuleModel is { } given && !ResourceNames.IsModuleModel(given.Name))
            violations.Add("module_model.name", ResourceNames.ModuleModelRule);
        var mask = ModuleModelMask.Read(request, violations);
        violations.ThrowIfAny();

        var etag = request.ModuleModel.Etag;
        for (var attempt = 1; ; attempt++)
        {
            var there = await FindAsync(request.ModuleModel.Name, context.CancellationToken);
            if (etag.Length > 0 && etag != there.Etag)
                throw Changed(request.ModuleModel.Name);
            var values = mask.Apply(CatalogueMapping.FromWire(request.ModuleModel), there.Latest);
            if (request.ValidateOnly)
                return CatalogueMapping.ToWire(there.Model.Id, values);
            switch (await store.Catalogue.UpdateAsync(there.Model.Id, values, there.Etag, context.CancellationToken))
            {
                case CatalogueOutcome.Stored stored:
                    return CatalogueMapping.ToWire(stored.Model);
                case CatalogueOutcome.NotFound:
                    throw Refusals.NotFound(ResourceNames.ModuleModelType, request.ModuleModel.Name);
                default:
                    if (etag.Length > 0 || attempt == MergeAttempts)
                        throw Changed(request.ModuleModel.Name);
                    break;
            }
        }
    }

    private async Task<StoredModuleModel> FindAsync(string name, CancellationToken cancellation) =>
        await store.Catalogue.GetAsync(ResourceNames.Id(name), cancellation)
        ?? throw Refusals.NotFound(ResourceNames.ModuleModelType, name);

    private static RpcException Changed(string name) => Refusals.Status(
        Code.Aborted, ErrorReasons.EtagMismatch, $"{name} was changed since you read it. Read it again and repeat your change.",
        new ResourceInfo { ResourceType = ResourceNames.ModuleModelType, ResourceName = name }).ToRpcException();
}
