using Reliability.Engine.Abstractions;
using Reliability.Engine.PlugIns;

namespace Reliability.Engine.Conformance;

/// <summary>What a family or a life model says of itself.</summary>
internal static class DescriptionRules
{
    public static Finding Family(FamilyUnderTest subject)
    {
        var family = subject.Family;
        CheckNames(family.Id, family.DisplayName, subject.Source);
        CheckParameterNames(family.Parameters);
        Broken.Unless(!family.SpecialCaseOf.Concat(family.BorderCaseOf).Contains(family.Id), $"It calls itself a special case of itself.");
        return Finding.Kept($"{family.Id} with {family.Parameters.Count} parameters");
    }

    public static Finding Model(LifeModelUnderTest subject)
    {
        var model = subject.Model.Description;
        CheckNames(model.Id, model.DisplayName, model.Source);
        Broken.Unless(DescriptionLimits.IsText(model.Version), $"Its version is not a line of 1 to {DescriptionLimits.LongestText} characters.");
        CheckParameterNames(model.Parameters);
        foreach (var p in model.Parameters)
            Broken.Unless(DescriptionLimits.IsDomain(p), $"The domain of {p.Name} is none, or does not go with its transform.");
        Broken.Unless(model.Capabilities.BoundsMethods.Count > 0, $"It claims no bounds method.");
        var names = model.Parameters.Select(p => p.Name).ToHashSet(StringComparer.Ordinal);
        foreach (var fixable in model.Capabilities.FixableParameters)
            Broken.Unless(names.Contains(fixable), $"It says that {fixable} can be held, which is no parameter of it.");
        if (subject.Model.Family is { } family)
        {
            Broken.Unless(
                family.Parameters.SequenceEqual(model.Parameters), $"Its family describes other parameters than the model itself.");
        }

        Broken.Unless(
            model.Capabilities.FixableParameters.Count > 0 || model.Capabilities.BoundsMethodsWithFixedParameters.Count == 0,
            $"It has bounds with held parameters and no parameter that can be held.");
        return Finding.Kept($"{model.Id}, version {model.Version}");
    }

    public static Finding Domains(FamilyUnderTest subject)
    {
        foreach (var p in subject.Family.Parameters)
            CheckDomain(p);
        Broken.Unless(subject.Members.Count >= 2, $"Name two or more members to try; there are {subject.Members.Count}.");
        foreach (var member in subject.Members)
        {
            Broken.Unless(
                member.Length == subject.Family.Parameters.Count && member.Zip(subject.Family.Parameters).All(pair => pair.Second.Allows(pair.First)),
                $"Member {Named(member)} does not lie in the domain that is described.");
        }

        return Finding.Kept($"{subject.Family.Parameters.Count} parameters, {subject.Members.Count} members inside");
    }

    /// <summary>A member for people.</summary>
    public static string Named(double[] member) =>
        "(" + string.Join(", ", member.Select(v => v.ToString("G6", System.Globalization.CultureInfo.InvariantCulture))) + ")";

    private static void CheckNames(string id, string displayName, string source)
    {
        Broken.Unless(
            DescriptionLimits.IsId(id), $"The id \"{id}\" is not lower case letters and digits with hyphens between, {DescriptionLimits.LongestId} at most.");
        Broken.Unless(DescriptionLimits.IsText(displayName), $"It has no name for people of 1 to {DescriptionLimits.LongestText} characters on one line.");
        Broken.Unless(DescriptionLimits.IsText(source), $"It does not say where it is published, on one line of {DescriptionLimits.LongestText} characters at most.");
    }

    private static void CheckParameterNames(IReadOnlyList<ParameterDescription> parameters)
    {
        Broken.Unless(
            parameters.Count is >= 1 and <= DescriptionLimits.MostParameters,
            $"It has {parameters.Count} parameters; the engine fits 1 to {DescriptionLimits.MostParameters}.");
        foreach (var p in parameters)
        {
            Broken.Unless(
                DescriptionLimits.IsParameterName(p.Name), $"The parameter name \"{p.Name}\" is not lower case letters, digits and underscores, 100 at most.");
            Broken.Unless(DescriptionLimits.IsUnit(p.Unit), $"The unit of {p.Name} is \"{p.Unit}\"; it is \"hours\" or empty.");
        }

        Broken.Unless(parameters.DistinctBy(p => p.Name).Count() == parameters.Count, $"Two parameters share a name.");
    }

    private static void CheckDomain(ParameterDescription p)
    {
        Broken.Unless(p.Lower < p.Upper, $"The domain of {p.Name} is empty.");
        Broken.Unless(
            p.Transform != ParameterTransform.Log || (double.IsFinite(p.Lower) && double.IsPositiveInfinity(p.Upper)),
            $"{p.Name} is estimated on the log scale, which needs a lower end and no upper one.");
        Broken.Unless(
            p.Transform != ParameterTransform.Logit || (double.IsFinite(p.Lower) && double.IsFinite(p.Upper)),
            $"{p.Name} is estimated on the logit scale, which needs two ends.");
        Broken.Unless(
            !p.IncludesLower || (double.IsFinite(p.Lower) && p.Transform == ParameterTransform.Identity),
            $"{p.Name} includes its lower end, which its scale does not reach.");
        Broken.Unless(Enum.IsDefined(p.Transform), $"The scale of {p.Name} is not one that there is.");
    }
}
