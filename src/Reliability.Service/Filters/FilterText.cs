using System.Globalization;
using System.Text;

namespace Reliability.Service.Filters;

/// <summary>
/// Reads filters of lists: conditions <c>field = value</c> joined by AND, the part of AIP-160 that is needed. A value is a
/// word or stands in double quotes, where backslash escapes a quote or a backslash.
/// </summary>
internal static class FilterText
{
    private const int MaxConditions = 50;

    /// <summary>Reads a filter.</summary>
    /// <param name="text">The filter; blank means no condition.</param>
    /// <param name="conditions">The conditions in order; what was read so far when something is wrong.</param>
    /// <returns>The rule that the text breaks, or null.</returns>
    public static string? Read(string text, out IReadOnlyList<FilterCondition> conditions)
    {
        var found = new List<FilterCondition>();
        conditions = found;
        var reader = new Reader(text);
        if (reader.AtEnd())
            return null;
        while (true)
        {
            if (reader.Word() is not { } field)
                return reader.Expected("a field name");
            if (!reader.Take('='))
                return reader.Expected("=, the only comparison there is");
            if ((reader.Quoted() ?? reader.Word()) is not { } value)
                return reader.Expected("a value, in double quotes where it holds blanks");
            found.Add(new(field, value));
            if (found.Count > MaxConditions)
                return string.Create(CultureInfo.InvariantCulture, $"must not have more than {MaxConditions} conditions");
            if (reader.AtEnd())
                return null;
            if (reader.Word() != "AND")
                return reader.Expected("AND, the only way to join conditions");
        }
    }

    private ref struct Reader(string text)
    {
        private int _at;
        private int _from;

        public bool AtEnd()
        {
            SkipBlanks();
            return _at == text.Length;
        }

        public bool Take(char expected)
        {
            SkipBlanks();
            if (_at == text.Length || text[_at] != expected)
                return false;
            _at++;
            return true;
        }

        public string? Word()
        {
            SkipBlanks();
            var start = _at;
            while (_at < text.Length && (char.IsLetterOrDigit(text[_at]) || "_-./:".Contains(text[_at], StringComparison.Ordinal)))
                _at++;
            return _at == start ? null : text[start.._at];
        }

        public string? Quoted()
        {
            SkipBlanks();
            if (_at == text.Length || text[_at] != '"')
                return null;
            var value = new StringBuilder();
            for (var i = _at + 1; i < text.Length; i++)
            {
                switch (text[i])
                {
                    case '"':
                        _at = i + 1;
                        return value.ToString();
                    case '\\' when i + 1 < text.Length && text[i + 1] is '"' or '\\':
                        value.Append(text[++i]);
                        break;
                    default:
                        value.Append(text[i]);
                        break;
                }
            }

            return null;
        }

        public readonly string Expected(string what) => string.Create(
            CultureInfo.InvariantCulture, $"cannot be read at character {_from + 1}: expected {what}");

        private void SkipBlanks()
        {
            while (_at < text.Length && char.IsWhiteSpace(text[_at]))
                _at++;
            _from = _at;
        }
    }
}
