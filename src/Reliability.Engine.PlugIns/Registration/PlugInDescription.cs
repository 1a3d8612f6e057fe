using Reliability.Engine.Abstractions;
using Reliability.Engine.PlugIns.Guarding;

namespace Reliability.Engine.PlugIns;

/// <summary>Reads what a plug-in says of itself, once, and makes guarded life models of what it brings.</summary>
internal static class PlugInDescription
{
    private const int MostModels = 100;

    /// <exception cref="PlugInRefusedException">It says something that cannot be, or throws, or does not answer.</exception>
    public static (PlugInIdentity Identity, IReadOnlyList<ILifeModel> Models) Read(OfferedPlugIn offered, string engineVersion) =>
        Patience.Of("describing itself", () => ReadNow(offered, engineVersion));

    private static (PlugInIdentity Identity, IReadOnlyList<ILifeModel> Models) ReadNow(OfferedPlugIn offered, string engineVersion)
    {
        var plugIn = offered.PlugIn;
        var identity = new PlugInIdentity(
            Id(plugIn.Id, "id"), Text(plugIn.Version, "version"), Text(plugIn.Publisher, "publisher"), offered.Hash);
        var families = plugIn.Families.Take(MostModels + 1).ToList();
        var estimators = plugIn.Estimators.Take(MostModels + 1).ToList();
        if (families.Count + estimators.Count is 0 or > MostModels)
            throw new PlugInRefusedException($"It must bring 1 to {MostModels} families and estimators.");
        var version = $"{engineVersion} with {identity.Id} {identity.Version}" + (identity.Hash.Length > 0 ? $" {identity.Hash}" : "");
        var guarded = new GuardedPlugIn(identity, [.. families.Select(Guarded)], [.. estimators.Select(Checked)]);
        IReadOnlyList<ILifeModel> models = [.. BuiltInLifeModels.Of(guarded).Select(model => new GuardedModel(model, identity, version))];
        var twice = models.GroupBy(m => m.Description.Id, StringComparer.Ordinal).FirstOrDefault(g => g.Count() > 1);
        return twice is null ? (identity, models) : throw new PlugInRefusedException($"Two of its life models have the id {twice.Key}.");
    }

    private static PublishedFamily Guarded(PublishedFamily published)
    {
        if (published?.Family is not { } family)
            throw new PlugInRefusedException("One of its families is empty.");
        var id = Id(family.Id, "family's id");
        _ = Text(family.DisplayName, $"display name of {id}");
        Check(id, family.Parameters);
        return new(GuardedFamily.Of(family), Text(published.Source, $"source of {id}"));
    }

    private static ILifeModel Checked(ILifeModel model)
    {
        if (model?.Description is not { } told)
            throw new PlugInRefusedException("One of its estimators is empty or does not describe itself.");
        var id = Id(told.Id, "estimator's id");
        _ = Text(told.DisplayName, $"display name of {id}");
        _ = Text(told.Source, $"source of {id}");
        Check(id, told.Parameters);
        if (told.Plot is null || told.Capabilities is not { BoundsMethods.Count: > 0 } can)
            throw new PlugInRefusedException($"The estimator {id} must have axes and at least one method of bounds.");
        if (can.FixableParameters.Except(told.Parameters.Select(p => p.Name)).FirstOrDefault() is { } unknown)
            throw new PlugInRefusedException($"The estimator {id} lets {unknown} be held, which is none of its parameters.");
        if (model.Family is { } family)
            Check($"{id}'s family", family.Parameters);
        return model;
    }

    private static void Check(string id, IReadOnlyList<ParameterDescription>? parameters)
    {
        if (parameters is not { Count: >= 1 and <= DescriptionLimits.MostParameters } || parameters.Contains(null!))
            throw new PlugInRefusedException($"{id} must have one to five parameters.");
        foreach (var p in parameters)
        {
            if (!DescriptionLimits.IsParameterName(p.Name))
                throw new PlugInRefusedException($"A parameter of {id} must have a name of small letters, digits and underscores.");
            if (!DescriptionLimits.IsUnit(p.Unit))
                throw new PlugInRefusedException($"The unit of {p.Name} of {id} must be hours or empty.");
            if (!DescriptionLimits.IsDomain(p))
                throw new PlugInRefusedException($"The domain of {p.Name} of {id} is none, or does not go with its transform.");
        }

        if (parameters.DistinctBy(p => p.Name).Count() < parameters.Count)
            throw new PlugInRefusedException($"Two parameters of {id} share a name.");
    }

    private static string Id(string? id, string what) => DescriptionLimits.IsId(id)
        ? id!
        : throw new PlugInRefusedException($"Its {what} must be small letters and digits with single hyphens, at most {DescriptionLimits.LongestId}.");

    private static string Text(string? text, string what) => DescriptionLimits.IsText(text)
        ? text!
        : throw new PlugInRefusedException($"Its {what} must be a line of 1 to {DescriptionLimits.LongestText} characters.");

    /// <summary>What a plug-in brings, read once and guarded.</summary>
    private sealed class GuardedPlugIn(PlugInIdentity identity, IReadOnlyList<PublishedFamily> families, IReadOnlyList<ILifeModel> estimators)
        : ILifeModelPlugIn
    {
        public string Id => identity.Id;

        public string Version => identity.Version;

        public string Publisher => identity.Publisher;

        public IReadOnlyList<PublishedFamily> Families => families;

        public IReadOnlyList<ILifeModel> Estimators => estimators;
    }
}
