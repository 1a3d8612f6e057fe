using System.Text.RegularExpressions;

namespace Reliability.Cli.Terminals;

/// <summary>What is wrong with a command line, without names of this program's types.</summary>
internal static partial class ParseErrorText
{
    /// <summary>The message for people.</summary>
    public static string Of(string message)
    {
        Match match = NotOfType().Match(message);
        if (!match.Success)
            return message;
        string type = match.Groups["type"].Value;
        string wanted = type.Contains("Int", StringComparison.Ordinal) ? "a whole number, or is too large"
            : type.Contains("Double", StringComparison.Ordinal) ? "a number"
            : type.Contains("Boolean", StringComparison.Ordinal) ? "true or false"
            : "what is expected here";
        return $"{match.Groups["name"].Value}: \"{match.Groups["text"].Value}\" is not {wanted}.";
    }

    [GeneratedRegex("^Cannot parse argument '(?<text>.*)' for (?:option|command) '(?<name>.*)' as expected type '(?<type>.*)'\\.?", RegexOptions.CultureInvariant | RegexOptions.Singleline)]
    private static partial Regex NotOfType();
}
