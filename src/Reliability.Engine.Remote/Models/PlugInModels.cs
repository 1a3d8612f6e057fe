using Google.Protobuf.Collections;
using Reliability.Engine.Abstractions;
using Reliability.PlugIn.V1;

namespace Reliability.Engine.Remote.Models;

/// <summary>The life models of a remote plug-in, made of what it says of itself.</summary>
internal sealed class PlugInModels
{
    private const int MostModels = 50, MostNames = 20, LongestVersion = 50, LongestName = 100, LongestPublisher = 200, LongestSource = 300;

    private readonly DescribeResponse _description;

    private PlugInModels(
        DescribeResponse description, IReadOnlyList<PublishedFamily> families, IReadOnlyList<ILifeModel> estimators) =>
        (_description, Families, Estimators) = (description, families, estimators);

    /// <summary>Those of a plug-in that has not answered yet.</summary>
    public static PlugInModels None { get; } = new(new DescribeResponse(), [], []);

    public string Version => _description.Version;

    public string Publisher => _description.Publisher;

    public IReadOnlyList<PublishedFamily> Families { get; }

    public IReadOnlyList<ILifeModel> Estimators { get; }

    /// <summary>Checks a description and makes its models.</summary>
    /// <param name="description">What the plug-in says.</param>
    /// <param name="plugIn">The plug-in that the models will ask.</param>
    /// <exception cref="DescriptionException">It breaks a rule.</exception>
    public static PlugInModels Of(DescribeResponse description, RemotePlugIn plugIn)
    {
        if (description.Id != plugIn.Id)
            throw new DescriptionException("id", $"must be {plugIn.Id}, as the plug-in is set up");
        Require(Names.IsText(description.Version, LongestVersion), "version", "must have 1 to 50 characters");
        Require(Names.IsText(description.Publisher, LongestPublisher), "publisher", "must have 1 to 200 characters");
        Require(description.Families.Count <= MostModels, "families", "must be 50 at most");
        Require(description.Estimators.Count <= MostModels, "estimators", "must be 50 at most");
        var ids = new HashSet<string>(StringComparer.Ordinal);
        var families = new List<PublishedFamily>();
        for (var i = 0; i < description.Families.Count; i++)
        {
            var family = description.Families[i];
            var field = $"families[{i}].";
            CheckNames(ids, family.Id, family.DisplayName, family.Source, field);
            Require(family.Parameters.Count is >= 1 and <= 5, field + "parameters", "must be one to five");
            CheckIds(family.SpecialCaseOf, field + "special_case_of");
            CheckIds(family.BorderCaseOf, field + "border_case_of");
            families.Add(new(
                new RemoteFamily(plugIn, family, ParametersOf(family.Parameters, field), AxesOf(family.Plot, family.Parameters.Count, field)),
                family.Source));
        }

        var estimators = new List<ILifeModel>();
        for (var i = 0; i < description.Estimators.Count; i++)
        {
            var estimator = description.Estimators[i];
            var field = $"estimators[{i}].";
            CheckNames(ids, estimator.Id, estimator.DisplayName, estimator.Source, field);
            Require(estimator.Parameters.Count is >= 1 and <= 5, field + "parameters", "must be one to five");
            Require(estimator.BoundsMethods.Count > 0, field + "bounds_methods", "must be one at least");
            var parameters = ParametersOf(estimator.Parameters, field);
            foreach (var name in estimator.FixableParameters)
                Require(parameters.Any(p => p.Name == name), field + "fixable_parameters", "must be names of parameters");
            var family = FamilyOf(estimator, families, field);
            estimators.Add(new RemoteEstimator(
                plugIn,
                EstimatorMapping.Description(
                    estimator, parameters, AxesOf(estimator.Plot, family?.Parameters.Count ?? 0, field), family, description.Version),
                family));
        }

        return new PlugInModels(description, families, estimators);
    }

    /// <summary>Whether another description says the same.</summary>
    public bool IsSame(PlugInModels other) => _description.Equals(other._description);

    private static RemoteFamily? FamilyOf(EstimatorDescription estimator, List<PublishedFamily> families, string field)
    {
        if (estimator.Family.Length == 0)
            return null;
        var family = families.Find(f => f.Family.Id == estimator.Family)?.Family as RemoteFamily;
        Require(
            family is not null && family.Parameters.Select(p => p.Name).SequenceEqual(estimator.Parameters.Select(p => p.Name)),
            field + "family", "must be the id of a family of this plug-in with the same parameters");
        return family;
    }

    private static void CheckNames(HashSet<string> ids, string id, string name, string source, string field)
    {
        Require(Names.IsId(id), field + "id", "must be 1 to 63 lower case letters and digits with single hyphens, a letter first");
        Require(ids.Add(id), field + "id", "must be the model's alone");
        Require(Names.IsText(name, LongestName), field + "display_name", "must have 1 to 100 characters");
        Require(Names.IsText(source, LongestSource), field + "source", "must have 1 to 300 characters");
    }

    private static void CheckIds(RepeatedField<string> ids, string field) =>
        Require(ids.Count <= MostNames && ids.All(Names.IsId), field, "must be ids of life models, 20 at most");

    private static Abstractions.ParameterDescription[] ParametersOf(
        RepeatedField<PlugIn.V1.ParameterDescription> parameters, string field)
    {
        var described = new Abstractions.ParameterDescription[parameters.Count];
        for (var i = 0; i < described.Length; i++)
        {
            var parameter = parameters[i];
            var at = $"{field}parameters[{i}].";
            Require(Names.IsParameter(parameter.Name), at + "name", "must be 1 to 63 lower case letters, digits and underscores, a letter first");
            Require(!described.Take(i).Any(p => p.Name == parameter.Name), at + "name", "must be the parameter's alone");
            Require(parameter.Unit is "" or "hours", at + "unit", "must be hours or empty");
            var lower = parameter.HasLower ? parameter.Lower : double.NegativeInfinity;
            var upper = parameter.HasUpper ? parameter.Upper : double.PositiveInfinity;
            Require(!parameter.HasLower || double.IsFinite(lower), at + "lower", "must be finite, or absent");
            Require((!parameter.HasUpper || double.IsFinite(upper)) && lower < upper, at + "upper", "must be finite and above lower, or absent");
            described[i] = new(parameter.Name, parameter.Unit, lower, upper, TransformOf(parameter.Transform, lower, upper, at))
            {
                IncludesLower = parameter.IncludesLower && parameter.HasLower,
            };
        }

        return described;
    }

    private static Abstractions.ParameterTransform TransformOf(PlugIn.V1.ParameterTransform transform, double lower, double upper, string at)
    {
        switch (transform)
        {
            case PlugIn.V1.ParameterTransform.Identity:
                return Abstractions.ParameterTransform.Identity;
            case PlugIn.V1.ParameterTransform.Log:
                Require(double.IsFinite(lower), at + "transform", "may be the logarithm only with lower");
                return Abstractions.ParameterTransform.Log;
            case PlugIn.V1.ParameterTransform.Logit:
                Require(double.IsFinite(lower) && double.IsFinite(upper), at + "transform", "may be logit only with lower and upper");
                return Abstractions.ParameterTransform.Logit;
            default:
                throw new DescriptionException(at + "transform", "must be a scale of the contract");
        }
    }

    private static RemoteAxes AxesOf(PlotScale? plot, int parameters, string field)
    {
        Require(plot is { Hours: HoursScale.Linear or HoursScale.Log }, field + "plot.hours", "must be a scale of the contract");
        Require(
            plot!.Fraction is > FractionScale.Unspecified and <= FractionScale.Own, field + "plot.fraction", "must be a scale of the contract");
        var wanted = plot.Fraction == FractionScale.Own ? parameters : 0;
        Require(
            plot.StraightParameters.Count == wanted && plot.StraightParameters.All(double.IsFinite)
                && (plot.Fraction != FractionScale.Own || wanted > 0),
            field + "plot.straight_parameters", "must be one finite number a parameter of the family with a scale of its own, else none");
        return new RemoteAxes(plot.Hours, plot.Fraction, [.. plot.StraightParameters]);
    }

    private static void Require(bool kept, string field, string rule)
    {
        if (!kept)
            throw new DescriptionException(field, rule);
    }
}
