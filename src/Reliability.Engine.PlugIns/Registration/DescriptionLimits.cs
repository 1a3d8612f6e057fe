using System.Text.RegularExpressions;
using Reliability.Engine.Abstractions;

namespace Reliability.Engine.PlugIns;

/// <summary>
/// What may stand in the description of a life model that is plugged in. This file is compiled into the conformance kit too, which knows no
/// loader: what passes the one is taken by the other.
/// </summary>
internal static partial class DescriptionLimits
{
    /// <summary>Characters of an id: the longest that a request may name.</summary>
    public const int LongestId = 63;

    /// <summary>Characters of a name for people, a version, a source.</summary>
    public const int LongestText = 300;

    /// <summary>Parameters of a model; one at least.</summary>
    public const int MostParameters = 5;

    /// <summary>Small letters and digits with single hyphens, a letter first.</summary>
    public static bool IsId(string? id) => id is not null && id.Length <= LongestId && IdForm().IsMatch(id);

    /// <summary>A line that says something.</summary>
    public static bool IsText(string? text) => !string.IsNullOrWhiteSpace(text) && text.Length <= LongestText && !text.Any(char.IsControl);

    /// <summary>1 to 100 small letters, digits and underscores, a letter first.</summary>
    public static bool IsParameterName(string? name) => name is not null && ParameterNameForm().IsMatch(name);

    /// <summary>Hours or nothing.</summary>
    public static bool IsUnit(string? unit) => unit is "hours" or "";

    /// <summary>Not empty, and with the ends that its transform needs.</summary>
    public static bool IsDomain(ParameterDescription p)
    {
        var isBounded = p.Transform switch
        {
            ParameterTransform.Identity => true,
            ParameterTransform.Log => double.IsFinite(p.Lower),
            _ => double.IsFinite(p.Lower) && double.IsFinite(p.Upper),
        };
        return p.Lower < p.Upper && Enum.IsDefined(p.Transform) && isBounded;
    }

    [GeneratedRegex("^[a-z][a-z0-9]*(-[a-z0-9]+)*\\z")]
    private static partial Regex IdForm();

    [GeneratedRegex("^[a-z][a-z0-9_]{0,99}\\z")]
    private static partial Regex ParameterNameForm();
}
