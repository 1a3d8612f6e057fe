using System.Text.RegularExpressions;
using NodaTime;
using NodaTime.Text;

namespace Reliability.Files.Mappings;

/// <summary>How another system writes numbers, days and times, and how they are turned into our spelling.</summary>
internal sealed partial class CellFormats
{
    private readonly bool _decimalComma;
    private readonly string _thousands;
    private readonly bool _daysOnly;
    private readonly List<LocalDatePattern> _days = [];
    private readonly List<LocalDateTimePattern> _times = [];
    private readonly string _example;

    /// <summary>Takes what a mapping says.</summary>
    /// <param name="decimalComma">Whether decimals are set apart by a comma.</param>
    /// <param name="thousands">What sets thousands apart; empty for nothing.</param>
    /// <param name="dateFormats">Patterns such as dd.MM.yyyy and dd.MM.yyyy HH:mm, all known to be right; none for ISO 8601.</param>
    /// <param name="daysOnly">Whether only the day of a time is to be believed.</param>
    public CellFormats(bool decimalComma, string thousands, IReadOnlyList<string> dateFormats, bool daysOnly)
    {
        (_decimalComma, _thousands, _daysOnly) = (decimalComma, thousands, daysOnly);
        foreach (string format in dateFormats)
        {
            if (HasTime(format))
                _times.Add(LocalDateTimePattern.CreateWithInvariantCulture(format));
            else
                _days.Add(LocalDatePattern.CreateWithInvariantCulture(format));
        }
        _example = string.Join(" or ", dateFormats);
    }

    /// <summary>Whether a pattern is one of a day or time that this can read.</summary>
    public static bool IsDateFormat(string format)
    {
        if (!FormatSigns().IsMatch(format) || !format.Contains('d', StringComparison.Ordinal) || !format.Contains('M', StringComparison.Ordinal)
            || !format.Contains('y', StringComparison.Ordinal))
        {
            return false;
        }
        try
        {
            if (HasTime(format))
                LocalDateTimePattern.CreateWithInvariantCulture(format);
            else
                LocalDatePattern.CreateWithInvariantCulture(format);
            return true;
        }
        catch (InvalidPatternException)
        {
            return false;
        }
    }

    /// <summary>Whether one text can be two different times by two patterns, as 01/02/2024 by dd/MM/yyyy and MM/dd/yyyy.</summary>
    public static bool Contradict(string one, string other)
    {
        LocalDateTime sample = new(2001, 2, 3, 4, 5, 6);
        return HasTime(one) == HasTime(other) && (HasTime(one)
            ? Differ(LocalDateTimePattern.CreateWithInvariantCulture(one), LocalDateTimePattern.CreateWithInvariantCulture(other), sample)
            : Differ(LocalDatePattern.CreateWithInvariantCulture(one), LocalDatePattern.CreateWithInvariantCulture(other), sample.Date));
    }

    /// <summary>A number in our spelling; null with the rule where the text is none in theirs.</summary>
    public string? Number(string text, out string problem)
    {
        problem = "";
        if (!_decimalComma && _thousands.Length == 0)
            return text;
        string digits = text.TrimStart('+', '-');
        int point = digits.LastIndexOf(_decimalComma ? ',' : '.');
        string rest = point < 0 ? "0" : digits[(point + 1)..];
        // No-break spaces, plain and narrow, stand in some exports where others have a space.
        string whole = (point < 0 ? digits : digits[..point]).Replace('\u00A0', ' ').Replace('\u202F', ' ');
        string[] groups = _thousands.Length == 0 ? [whole] : whole.Split(_thousands);
        bool right = text.Length - digits.Length <= 1 && IsDigits(rest) && groups.All(IsDigits)
            && (groups.Length == 1 || (groups[0].Length <= 3 && groups.Skip(1).All(group => group.Length == 3)));
        if (right)
            return text[..(text.Length - digits.Length)] + string.Concat(groups) + (point < 0 ? "" : "." + rest);
        problem = $"{Quoted.Of(text)} is not a number with {(_decimalComma ? "a decimal comma" : "a decimal point")}"
            + (_thousands.Length > 0 ? $" and {Quoted.Of(_thousands)} between thousands" : "");
        return null;
    }

    /// <summary>A day or time in our spelling; null with the rule where the text is none in theirs.</summary>
    public string? Time(string text, out string problem)
    {
        problem = "";
        if (_days.Count + _times.Count == 0)
            return _daysOnly && text.Length > 10 && text[10] is 'T' or ' ' ? text[..10] : text;
        foreach (LocalDatePattern pattern in _days)
        {
            if (pattern.Parse(text) is { Success: true, Value: LocalDate day })
                return LocalDatePattern.Iso.Format(day);
        }
        foreach (LocalDateTimePattern pattern in _times)
        {
            if (pattern.Parse(text) is { Success: true, Value: LocalDateTime time })
                return _daysOnly ? LocalDatePattern.Iso.Format(time.Date) : LocalDateTimePattern.GeneralIso.Format(time);
        }
        problem = $"{Quoted.Of(text)} is not written as {_example}";
        return null;
    }

    private static bool IsDigits(string text) => text.Length > 0 && text.All(char.IsAsciiDigit);

    private static bool Differ<T>(IPattern<T> one, IPattern<T> other, T sample) =>
        other.Parse(one.Format(sample)) is { Success: true, Value: T read } && !read!.Equals(one.Parse(one.Format(sample)).Value);

    private static bool HasTime(string format) => format.AsSpan().ContainsAny('H', 'h', 'm');

    [GeneratedRegex(@"^[yuMdHhmsftF.,:/ T'-]{1,40}$", RegexOptions.CultureInvariant)]
    private static partial Regex FormatSigns();
}
