using Reliability.Cli.Terminals;
using Reliability.Files;
using Reliability.V1;

namespace Reliability.Cli.Cohorts;

/// <summary>Cohorts in words: filters as "condition=new", and what a cohort is called on tables and plots.</summary>
internal static class CohortFilters
{
    /// <summary>The names of filters.</summary>
    public const string Names = "model, condition, refurbishment, refurbisher, site, host-model, lot";

    /// <summary>Narrows a cohort down by filters such as "condition=refurbished"; a filter replaces one of the same name.</summary>
    /// <exception cref="UsageException">A filter is malformed or not known.</exception>
    public static Cohort Narrow(Cohort cohort, IEnumerable<string> filters, string option)
    {
        Cohort narrowed = cohort.Clone();
        foreach (IGrouping<string, string> filter in filters.Select(text => Split(text, option)).GroupBy(pair => pair.Name, pair => pair.Value))
            Set(narrowed, filter.Key, [.. filter], option);
        return narrowed;
    }

    /// <summary>What a cohort is called: its filters' values, or "all lives".</summary>
    public static string Describe(Cohort cohort)
    {
        List<string> parts =
        [
            .. cohort.ModuleModels.Select(name => name["moduleModels/".Length..]),
            .. cohort.ConditionClass switch
            {
                ConditionClass.New => ["new"],
                ConditionClass.Refurbished => ["refurbished"],
                _ => Array.Empty<string>(),
            },
            .. cohort.RefurbishmentCounts.Select(count => $"refurbishment {count}"),
            .. cohort.Refurbishers,
            .. cohort.Sites,
            .. cohort.HostModels,
            .. cohort.Lots.Select(lot => $"lot {lot}"),
        ];
        if (cohort.FailureMode.Length > 0)
            parts.Add($"failures: {cohort.FailureMode}");
        return parts.Count > 0 ? string.Join(", ", parts) : "all lives";
    }

    /// <summary>The class that a word stands for.</summary>
    public static ConditionClass ConditionOf(string? word) => word switch
    {
        "new" => ConditionClass.New,
        "refurbished" => ConditionClass.Refurbished,
        _ => ConditionClass.Unspecified,
    };

    private static (string Name, string Value) Split(string text, string option)
    {
        int sign = text.IndexOf('=', StringComparison.Ordinal);
        return sign > 0 && sign < text.Length - 1
            ? (text[..sign].Trim(), text[(sign + 1)..].Trim())
            : throw new UsageException($"{option}: \"{text}\" is not of the form name=value, such as condition=new.");
    }

    private static void Set(Cohort cohort, string name, string[] values, string option)
    {
        switch (name)
        {
            case "model":
                Replace(cohort.ModuleModels, values.Select(ModuleModelName.Of));
                break;
            case "condition":
                cohort.ConditionClass = values.Length == 1 && values[0] is "new" or "refurbished"
                    ? ConditionOf(values[0])
                    : throw new UsageException($"{option}: condition is new or refurbished.");
                break;
            case "refurbishment":
                Replace(cohort.RefurbishmentCounts, values.Select(value => int.TryParse(value, out int count)
                    ? count
                    : throw new UsageException($"{option}: \"{value}\" is not a refurbishment number.")));
                break;
            case "refurbisher":
                Replace(cohort.Refurbishers, values);
                break;
            case "site":
                Replace(cohort.Sites, values);
                break;
            case "host-model":
                Replace(cohort.HostModels, values);
                break;
            case "lot":
                Replace(cohort.Lots, values);
                break;
            default:
                throw new UsageException($"{option}: \"{name}\" is none of: {Names}.");
        }
    }

    private static void Replace<T>(Google.Protobuf.Collections.RepeatedField<T> field, IEnumerable<T> values)
    {
        field.Clear();
        field.Add(values);
    }
}
