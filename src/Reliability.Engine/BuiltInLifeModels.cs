using Reliability.Engine.Abstractions;
using Reliability.Engine.Catalog;
using Reliability.Engine.Families;

namespace Reliability.Engine;

/// <summary>The life models of this engine, and the catalogue that offers them together with others.</summary>
public static class BuiltInLifeModels
{
    /// <summary>The plug-in that ships with the engine: its first life model is the default.</summary>
    public static ILifeModelPlugIn PlugIn { get; } = new BuiltInPlugIn();

    /// <summary>Makes a catalogue of the built-in models, the Weibull first and as the default, and of further ones.</summary>
    /// <param name="additional">Models of plug-ins; their ids must differ from the built-in ones.</param>
    /// <returns>The catalogue; it keeps no state and may be shared.</returns>
    /// <exception cref="ArgumentException">Two models share an id.</exception>
    public static ILifeModelCatalog CreateCatalog(params IReadOnlyList<ILifeModel> additional)
    {
        ArgumentNullException.ThrowIfNull(additional);
        return new LifeModelCatalog([.. Of(PlugIn), .. additional]);
    }

    /// <summary>The life models of a plug-in, ours or another: its estimators, then one made of each family. Nothing is checked here.</summary>
    /// <param name="plugIn">The plug-in.</param>
    /// <returns>The models, in order of display.</returns>
    /// <exception cref="ArgumentException">A family has no parameter, or more than five.</exception>
    public static IReadOnlyList<ILifeModel> Of(ILifeModelPlugIn plugIn)
    {
        ArgumentNullException.ThrowIfNull(plugIn);
        var identity = new PlugInIdentity(plugIn.Id, plugIn.Version, plugIn.Publisher, string.Empty);
        return [.. plugIn.Estimators, .. plugIn.Families.Select(p => FromFamily(p.Family, p.Source, identity.Version, identity))];
    }

    /// <summary>
    /// Makes a life model of a distribution: maximum likelihood over failures, survivors and intervals with late entry and
    /// counts, likelihood-ratio and normal-approximation bounds, any parameter held on request.
    /// </summary>
    /// <param name="family">The distribution, with one to five parameters.</param>
    /// <param name="source">Where it is published.</param>
    /// <param name="version">Version of who provides it.</param>
    /// <returns>The model, which keeps no state.</returns>
    /// <exception cref="ArgumentException">The family has no parameter, or more than five.</exception>
    public static ILifeModel FromFamily(ILifeFamily family, string source, string version) => FromFamily(family, source, version, null);

    private static FamilyModel FromFamily(ILifeFamily family, string source, string version, PlugInIdentity? plugIn)
    {
        ArgumentNullException.ThrowIfNull(family);
        if (family.Parameters.Count is < 1 or > 5)
            throw new ArgumentException($"A family must have one to five parameters; {family.Id} has {family.Parameters.Count}.", nameof(family));
        return new FamilyModel(family, source, version, plugIn);
    }
}
