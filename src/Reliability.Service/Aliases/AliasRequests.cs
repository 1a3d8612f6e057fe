using Google.Rpc;
using Grpc.Core;
using Reliability.History.Aliases;
using Reliability.Service.Errors;
using Reliability.Service.Events;
using Reliability.Service.Paging;
using Reliability.Service.Validation;
using Reliability.Store;
using Reliability.Store.Aliases;

namespace Reliability.Service.Aliases;

/// <summary>Creates, lists and deletes aliases.</summary>
internal sealed class AliasRequests(RequestCheck requestCheck, OrganisationStore store)
{
    private const string Field = "alias";

    public async Task<V1.Alias> CreateAsync(V1.CreateAliasRequest request, CancellationToken cancellation)
    {
        var violations = requestCheck.Check(request);
        if (request.Alias is { } said)
            CheckNames(said, violations);
        violations.ThrowIfAny();

        var alias = AliasMapping.FromWire(request.Alias);
        return await store.Aliases.CreateAsync(alias.Kind, alias.Alternate, alias.Primary, request.ValidateOnly, cancellation) switch
        {
            AliasOutcome.Created created => AliasMapping.ToWire(created.Alias),
            AliasOutcome.AlreadyExists there => throw Refusals.AlreadyExists(
                ResourceNames.AliasType, ResourceNames.Alias(there.Alias.Id)),
            AliasOutcome.Circular => throw Refused(
                ErrorReasons.AliasCircular, "primary", "leads by the aliases there are back to the alternate name"),
            AliasOutcome.TooMany => throw Refused(
                ErrorReasons.AliasTooLarge, "primary",
                $"would have more than {AliasStore.MaxNames} names with those that mean the same already"),
            _ => AliasMapping.ToWire(request.Alias),
        };
    }

    public async Task<V1.ListAliasesResponse> ListAsync(V1.ListAliasesRequest request, CancellationToken cancellation)
    {
        requestCheck.Enforce(request);
        var kind = request.Kind == V1.AliasKind.Unspecified ? (AliasKind?)null : Words.AliasKinds.ToHistory(request.Kind);
        var page = await store.Aliases.ListAsync(
            kind, ListPage.Size(request.PageSize), StoreToken.Read(request, request.PageToken), cancellation);
        var response = new V1.ListAliasesResponse { NextPageToken = StoreToken.Make(request, page.Next) };
        response.Aliases.AddRange(page.Items.Select(AliasMapping.ToWire));
        return response;
    }

    public async Task<V1.DeleteAliasResponse> DeleteAsync(V1.DeleteAliasRequest request, CancellationToken cancellation)
    {
        requestCheck.Enforce(request);
        var etag = request.Etag.Length == 0 ? null : request.Etag;
        return await store.Aliases.DeleteAsync(ResourceNames.Id(request.Name), etag, request.ValidateOnly, cancellation) switch
        {
            AliasOutcome.Deleted deleted => new() { Revision = deleted.Revision.ToString() },
            AliasOutcome.NotFound => throw Refusals.NotFound(ResourceNames.AliasType, request.Name),
            AliasOutcome.Conflict => throw Refusals.Status(
                Code.Aborted, ErrorReasons.EtagMismatch, $"{request.Name} is not the one you read. Read it again and repeat your change.",
                new ResourceInfo { ResourceType = ResourceNames.AliasType, ResourceName = request.Name }).ToRpcException(),
            _ => new(),
        };
    }

    private static void CheckNames(V1.Alias said, Violations violations)
    {
        if (said.Name.Length > 0)
            violations.Add(Field + ".name", "must be empty: it is made from kind and alternate name");
        if (said.Kind == V1.AliasKind.Module)
        {
            CheckModule(said.Alternate, "alternate");
            CheckModule(said.Primary, "primary");
        }
        else
        {
            CheckSpelling(said.Alternate, "alternate");
            CheckSpelling(said.Primary, "primary");
        }

        if (said.Alternate.Length > 0 && said.Alternate == said.Primary)
            violations.Add(Field + ".primary", "must be another name than alternate");

        void CheckModule(string name, string field)
        {
            if (!ResourceNames.IsModule(name))
                violations.Add($"{Field}.{field}", ResourceNames.ModuleRule);
        }

        void CheckSpelling(string name, string field)
        {
            if (name.Length > 0 && string.IsNullOrWhiteSpace(name))
                violations.Add($"{Field}.{field}", "must not be blank");
        }
    }

    private static RpcException Refused(string reason, string field, string rule)
    {
        var path = $"{Field}.{field}";
        return Refusals.Status(
            Code.FailedPrecondition, reason, $"{path}: {rule}",
            new BadRequest { FieldViolations = { new BadRequest.Types.FieldViolation { Field = path, Description = rule } } })
            .ToRpcException();
    }
}
