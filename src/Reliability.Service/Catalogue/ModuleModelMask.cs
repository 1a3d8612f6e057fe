using Reliability.History.Catalogue;
using Reliability.Service.Errors;

namespace Reliability.Service.Catalogue;

/// <summary>Which fields of a module model an update changes.</summary>
internal sealed class ModuleModelMask
{
    private static readonly string[] Changeable =
    [
        "display_name", "part_number", "output_unit", "output_threshold", "rated_lives", "costs", "cautions",
        "effective_time",
    ];

    private readonly HashSet<string> _fields;

    private ModuleModelMask(IEnumerable<string> fields) => _fields = new(fields, StringComparer.Ordinal);

    /// <summary>Reads the mask of an update: absent means every field that is set, * means all.</summary>
    public static ModuleModelMask Read(V1.UpdateModuleModelRequest request, Violations violations)
    {
        var paths = request.UpdateMask?.Paths;
        if (paths is null || paths.Count == 0)
            return new(Changeable.Where(name => IsSet(request.ModuleModel, name)));
        if (paths is ["*"])
            return new(Changeable);
        for (var i = 0; i < paths.Count; i++)
        {
            if (!Changeable.Contains(paths[i]))
            {
                violations.Add(
                    $"update_mask.paths[{i}]", "must be * alone, or one of " + string.Join(", ", Changeable));
            }
        }

        return new(paths);
    }

    /// <summary>The values after the update. The effective time is that of the update, never that of the values before.</summary>
    public ModuleModelVersion Apply(ModuleModelVersion given, ModuleModelVersion before) => before with
    {
        EffectiveTime = given.EffectiveTime,
        DisplayName = Has("display_name") ? given.DisplayName : before.DisplayName,
        PartNumber = Has("part_number") ? given.PartNumber : before.PartNumber,
        OutputUnit = Has("output_unit") ? given.OutputUnit : before.OutputUnit,
        OutputThreshold = Has("output_threshold") ? given.OutputThreshold : before.OutputThreshold,
        RatedLives = Has("rated_lives") ? given.RatedLives : before.RatedLives,
        Costs = Has("costs") ? given.Costs : before.Costs,
        Cautions = Has("cautions") ? given.Cautions : before.Cautions,
    };

    private bool Has(string name) => _fields.Contains(name);

    private static bool IsSet(V1.ModuleModel? model, string name)
    {
        if (model is null)
            return false;
        var field = V1.ModuleModel.Descriptor.FindFieldByName(name);
        return field.Accessor.GetValue(model) switch
        {
            string text => text.Length > 0,
            System.Collections.IList list => list.Count > 0,
            var value => value is not null,
        };
    }
}
