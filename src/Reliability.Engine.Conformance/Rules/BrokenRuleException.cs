using System.Globalization;

namespace Reliability.Engine.Conformance;

/// <summary>Carries what went wrong out of the loops of a rule.</summary>
#pragma warning disable CA1032, CA1064 // Never leaves the rule that throws it.
internal sealed class BrokenRuleException(string message) : Exception(message);
#pragma warning restore CA1032, CA1064

/// <summary>What rules say when they are broken.</summary>
internal static class Broken
{
    /// <summary>Ends the rule when something does not hold.</summary>
    public static void Unless(bool holds, FormattableString message)
    {
        if (!holds)
            throw new BrokenRuleException(message.ToString(CultureInfo.InvariantCulture));
    }

    /// <summary>Ends the rule unless two numbers agree to a part of the expected one.</summary>
    public static void UnlessNear(double expected, double actual, double relative, FormattableString what) =>
        Unless(
            Math.Abs(actual - expected) <= relative * Math.Abs(expected),
            $"{what.ToString(CultureInfo.InvariantCulture)}: {actual:G12}, expected {expected:G12} to a part of {relative:G2}.");
}
