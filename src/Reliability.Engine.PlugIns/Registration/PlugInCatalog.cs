using Reliability.Engine.Abstractions;

namespace Reliability.Engine.PlugIns;

/// <summary>The life models on offer and where they come from: ours, and those of the plug-ins that were taken in. Made once at start.</summary>
public sealed class PlugInCatalog
{
    private readonly IReadOnlyList<ILifeModel> _plugged;

    private PlugInCatalog(IReadOnlyList<ILifeModel> plugged, IReadOnlyList<PlugInIdentity> plugIns, IReadOnlyList<RefusedPlugIn> refused)
    {
        _plugged = plugged;
        Models = BuiltInLifeModels.CreateCatalog(plugged);
        PlugIns = plugIns.Count > 0 ? plugIns : [Models.Default.Description.PlugIn!];
        Refused = refused;
    }

    /// <summary>All life models; those of plug-ins are guarded, so that nothing they do or answer harms more than its caller.</summary>
    public ILifeModelCatalog Models { get; }

    /// <summary>The plug-ins that are in use, the engine's own first.</summary>
    public IReadOnlyList<PlugInIdentity> PlugIns { get; }

    /// <summary>Those that are not, and why.</summary>
    public IReadOnlyList<RefusedPlugIn> Refused { get; }

    /// <summary>Takes plug-ins in, in the order given: of two that claim the same id the first has it. None can make this fail.</summary>
    /// <param name="offered">Plug-ins that were loaded or connected to.</param>
    /// <param name="refused">Those that were refused before.</param>
    /// <returns>The catalogue.</returns>
    public static PlugInCatalog Of(IReadOnlyList<OfferedPlugIn> offered, IReadOnlyList<RefusedPlugIn> refused)
    {
        ArgumentNullException.ThrowIfNull(refused);
        return new PlugInCatalog([], [], refused).With(offered);
    }

    /// <summary>This catalogue with further plug-ins, by the same rules.</summary>
    /// <param name="offered">Plug-ins that were loaded or connected to.</param>
    /// <returns>Another catalogue.</returns>
    public PlugInCatalog With(IReadOnlyList<OfferedPlugIn> offered)
    {
        ArgumentNullException.ThrowIfNull(offered);
        List<PlugInIdentity> plugIns = [.. PlugIns];
        var owners = Models.Models.ToDictionary(m => m.Description.Id, m => m.Description.PlugIn!.Id, StringComparer.Ordinal);
        List<ILifeModel> models = [.. _plugged];
        List<RefusedPlugIn> notTaken = [.. Refused];
        foreach (var candidate in offered)
        {
            try
            {
                var (identity, theirs) = PlugInDescription.Read(candidate, Models.EngineVersion);
                RefuseClash(identity, theirs, plugIns, owners);
                plugIns.Add(identity);
                models.AddRange(theirs);
                foreach (var model in theirs)
                    owners.Add(model.Description.Id, identity.Id);
            }
            catch (PlugInRefusedException refusal)
            {
                notTaken.Add(new(candidate.Place, refusal.Message) { Cause = refusal.InnerException });
            }
        }

        return new(models, plugIns, notTaken);
    }

    private static void RefuseClash(
        PlugInIdentity identity, IReadOnlyList<ILifeModel> models, List<PlugInIdentity> before, Dictionary<string, string> owners)
    {
        if (before.Any(b => b.Id == identity.Id))
            throw new PlugInRefusedException($"There is a plug-in with the id {identity.Id} already.");
        foreach (var id in models.Select(m => m.Description.Id))
        {
            if (owners.TryGetValue(id, out var owner))
                throw new PlugInRefusedException($"Its life model {id} has the id of one of the plug-in {owner}.");
        }
    }
}
