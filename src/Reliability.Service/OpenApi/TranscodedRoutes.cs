using System.Text.RegularExpressions;
using Microsoft.AspNetCore.Grpc.JsonTranscoding;
using Microsoft.AspNetCore.Mvc.ApiExplorer;

namespace Reliability.Service.OpenApi;

/// <summary>
/// Names the variables of transcoded routes. The transcoder describes <c>/v1/{name=modules/*}</c> by its inner segments,
/// which makes different routes look alike; here it becomes <c>v1/modules/{module}</c>.
/// </summary>
internal sealed partial class TranscodedRoutes : IApiDescriptionProvider
{
    /// <summary>After the provider of the transcoder.</summary>
    public int Order => 1000;

    public void OnProvidersExecuting(ApiDescriptionProviderContext context)
    {
        // Nothing to do before the descriptions are there.
    }

    public void OnProvidersExecuted(ApiDescriptionProviderContext context)
    {
        foreach (var description in context.Results)
        {
            var route = description.ActionDescriptor.EndpointMetadata.OfType<GrpcJsonTranscodingMetadata>().FirstOrDefault();
            if (route is null)
                continue;
            var rule = route.HttpRule;
            var pattern = rule.Get.Length > 0 ? rule.Get : rule.Post.Length > 0 ? rule.Post : rule.Patch.Length > 0 ? rule.Patch
                : rule.Delete.Length > 0 ? rule.Delete : rule.Put;
            description.RelativePath = Variable().Replace(pattern.TrimStart('/'), match => Named(match, description));
        }
    }

    private static string Named(Match match, ApiDescription description)
    {
        // {module_model.name=moduleModels/*} stands for moduleModels/{moduleModel}.
        var collection = match.Groups["collection"].Value;
        // Of the plurals there are, only that of alias adds more than an s.
        var name = collection == "aliases" ? "alias" : collection[..^1];
        foreach (var parameter in description.ParameterDescriptions)
        {
            if (parameter.Source == Microsoft.AspNetCore.Mvc.ModelBinding.BindingSource.Path)
                parameter.Name = name;
        }

        return $"{collection}/{{{name}}}";
    }

    [GeneratedRegex(@"\{(?<field>[a-z_.]+)=(?<collection>[A-Za-z]+)/\*\}", RegexOptions.CultureInvariant)]
    private static partial Regex Variable();
}
