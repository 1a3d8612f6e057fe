using Google.Api;
using Grpc.Core;
using Reliability.Service.Aliases;
using Reliability.Service.Errors;
using Reliability.Service.Events;
using Reliability.Service.Filters;
using Reliability.Service.Lives;
using Reliability.Service.Mapping;
using Reliability.Service.Paging;
using Reliability.Service.Uploads;
using Reliability.Service.Validation;
using Reliability.Store;
using Reliability.Store.Attributes;

namespace Reliability.Service.Endpoints;

/// <summary>ModuleHistoryService: what happened to modules, and the lives that follow.</summary>
internal sealed class ModuleHistoryEndpoint(
    RequestCheck requestCheck, EventPosting posting, EventStream eventStream, EventWatch eventWatch, Uploading uploading,
    RejectedRowsFile rejectedRowsFile, LifeList lifeList, LifeExport lifeExport, AliasRequests aliases, OrganisationStore store, RevisionGate gate,
    RecordTimeGate recordTime)
    : V1.ModuleHistoryService.ModuleHistoryServiceBase
{
    public override Task<V1.RecordEventsResponse> RecordEvents(V1.RecordEventsRequest request, ServerCallContext context) =>
        posting.RecordAsync(request, context.CancellationToken);

    public override Task StreamEvents(
        IAsyncStreamReader<V1.StreamEventsRequest> requestStream, IServerStreamWriter<V1.StreamEventsResponse> responseStream,
        ServerCallContext context) =>
        eventStream.RunAsync(requestStream, responseStream, context);

    public override Task WatchEvents(
        V1.WatchEventsRequest request, IServerStreamWriter<V1.WatchEventsResponse> responseStream, ServerCallContext context)
    {
        var violations = requestCheck.Check(request);
        WatchChoice.Check(request, violations);
        violations.ThrowIfAny();
        return eventWatch.RunAsync(request, responseStream, context.CancellationToken);
    }

    public override Task<V1.UploadEventsResponse> UploadEvents(
        IAsyncStreamReader<V1.UploadEventsRequest> requestStream, ServerCallContext context) =>
        uploading.RunAsync(requestStream, context);

    public override Task<V1.Upload> GetUpload(V1.GetUploadRequest request, ServerCallContext context)
    {
        requestCheck.Enforce(request);
        return uploading.GetAsync(request.Name, context.CancellationToken);
    }

    public override Task<V1.ListRejectedRowsResponse> ListRejectedRows(V1.ListRejectedRowsRequest request, ServerCallContext context)
    {
        requestCheck.Enforce(request);
        return uploading.ListRejectedAsync(request, context.CancellationToken);
    }

    public override Task<V1.ListUploadsResponse> ListUploads(V1.ListUploadsRequest request, ServerCallContext context)
    {
        requestCheck.Enforce(request);
        return uploading.ListAsync(request, context.CancellationToken);
    }

    public override async Task ExportRejectedRows(
        V1.ExportRejectedRowsRequest request, IServerStreamWriter<HttpBody> responseStream, ServerCallContext context)
    {
        requestCheck.Enforce(request);
        var upload = await rejectedRowsFile.FindAsync(request.Parent, context.CancellationToken);
        await FileAnswer.SendAsync(
            rejectedRowsFile.ReadAsync(upload, context.CancellationToken), RejectedRowsFile.NameOf(upload), responseStream, context);
    }

    public override Task<V1.DeleteUploadResponse> DeleteUpload(V1.DeleteUploadRequest request, ServerCallContext context)
    {
        requestCheck.Enforce(request);
        return uploading.DeleteAsync(request.Name, context.CancellationToken);
    }

    public override async Task<V1.Module> GetModule(V1.GetModuleRequest request, ServerCallContext context)
    {
        requestCheck.Enforce(request);
        await gate.WaitAsync(request.MinimumRevision, context.CancellationToken);
        var view = await recordTime.ViewAsync(request.AsOfRecordTime, context.CancellationToken);
        var module = await store.Modules.GetAsync(ResourceNames.Id(request.Name), view, context.CancellationToken);
        return module is null
            ? throw Refusals.NotFound(ResourceNames.ModuleType, request.Name)
            : ModuleMapping.ToWire(module.Summarise());
    }

    public override async Task<V1.ListModulesResponse> ListModules(V1.ListModulesRequest request, ServerCallContext context)
    {
        var violations = requestCheck.Check(request);
        var filter = ModuleFilters.Read(request.Filter, violations);
        violations.ThrowIfAny();
        if (request.ShowRetired)
            filter = filter with { LeaveOutRetired = false };
        var after = StoreToken.Read(request, request.PageToken);
        await gate.WaitAsync(request.MinimumRevision, context.CancellationToken);
        var view = await recordTime.ViewAsync(request.AsOfRecordTime, context.CancellationToken);
        var page = await store.Modules.ListAsync(
            filter, view, ListPage.Size(request.PageSize), after, context.CancellationToken);
        var response = new V1.ListModulesResponse { NextPageToken = StoreToken.Make(request, page.Next) };
        response.Modules.AddRange(page.Items.Select(ModuleMapping.ToWire));
        return response;
    }

    public override async Task<V1.ListModuleEventsResponse> ListModuleEvents(
        V1.ListModuleEventsRequest request, ServerCallContext context)
    {
        requestCheck.Enforce(request);
        var after = StoreToken.Read(request, request.PageToken);
        await gate.WaitAsync(request.MinimumRevision, context.CancellationToken);
        var view = await recordTime.ViewAsync(request.AsOfRecordTime, context.CancellationToken);
        var page = await store.Modules.ListEventsAsync(
            ResourceNames.Id(request.Parent), view, ListPage.Size(request.PageSize), after, context.CancellationToken)
            ?? throw Refusals.NotFound(ResourceNames.ModuleType, request.Parent);
        var response = new V1.ListModuleEventsResponse { NextPageToken = StoreToken.Make(request, page.Next) };
        response.Events.AddRange(page.Items.Select(ModuleMapping.ToWire));
        return response;
    }

    public override async Task<V1.EraseNoteResponse> EraseNote(V1.EraseNoteRequest request, ServerCallContext context)
    {
        requestCheck.Enforce(request);
        var erasure = await store.Notes.EraseAsync(
            ResourceNames.Id(request.Parent), request.Source, request.EventId, context.CancellationToken)
            ?? throw Refusals.NotFound("reliability/ModuleEvent", $"event {request.EventId} of {request.Source} in {request.Parent}");
        return new() { NoteEraseTime = EventWire.Time(erasure.EraseTime), Revision = erasure.Revision.ToString() };
    }

    public override Task<V1.ListLivesResponse> ListLives(V1.ListLivesRequest request, ServerCallContext context)
    {
        requestCheck.Enforce(request);
        return lifeList.ListAsync(request, context.CancellationToken);
    }

    public override Task ExportLives(
        V1.ExportLivesRequest request, IServerStreamWriter<HttpBody> responseStream, ServerCallContext context)
    {
        requestCheck.Enforce(request);
        return FileAnswer.SendAsync(lifeExport.ExportAsync(request, context.CancellationToken), "lives.csv", responseStream, context);
    }

    public override async Task<V1.ListAttributeValuesResponse> ListAttributeValues(
        V1.ListAttributeValuesRequest request, ServerCallContext context)
    {
        requestCheck.Enforce(request);
        var attribute = request.Attribute switch
        {
            V1.Attribute.Site => AttributeKind.Site,
            V1.Attribute.Refurbisher => AttributeKind.Refurbisher,
            V1.Attribute.HostModel => AttributeKind.HostModel,
            _ => AttributeKind.Lot,
        };
        var page = await store.Attributes.ListAsync(
            attribute, ListPage.Size(request.PageSize), StoreToken.Read(request, request.PageToken),
            context.CancellationToken);
        var response = new V1.ListAttributeValuesResponse { NextPageToken = StoreToken.Make(request, page.Next) };
        response.AttributeValues.AddRange(page.Items.Select(value =>
            new V1.AttributeValue { Value = value.Value, LifeCount = value.LifeCount }));
        return response;
    }

    public override Task<V1.Alias> CreateAlias(V1.CreateAliasRequest request, ServerCallContext context) =>
        aliases.CreateAsync(request, context.CancellationToken);

    public override Task<V1.ListAliasesResponse> ListAliases(V1.ListAliasesRequest request, ServerCallContext context) =>
        aliases.ListAsync(request, context.CancellationToken);

    public override Task<V1.DeleteAliasResponse> DeleteAlias(V1.DeleteAliasRequest request, ServerCallContext context) =>
        aliases.DeleteAsync(request, context.CancellationToken);
}
