namespace Reliability.History.Identifiers;

/// <summary>
/// The check digit of GS1 keys (GTIN, SSCC, GLN), as gs1.org/how-calculate-check-digit-manually computes it: the last digit makes
/// the sum of all digits, weighted 1 and 3 in turn from the right, a multiple of ten.
/// </summary>
public static class CheckDigit
{
    /// <summary>The digit that belongs behind these digits, 0 to 9.</summary>
    /// <param name="digits">The digits of a key without its check digit; 0 to 9 only.</param>
    /// <exception cref="ArgumentException">Something else than digits is among them.</exception>
    public static int Of(ReadOnlySpan<char> digits)
    {
        var sum = 0;
        for (var i = 0; i < digits.Length; i++)
        {
            if (!char.IsAsciiDigit(digits[^(i + 1)]))
                throw new ArgumentException("Check digits belong behind digits only.", nameof(digits));
            sum += (digits[^(i + 1)] - '0') * (i % 2 == 0 ? 3 : 1);
        }

        return (10 - (sum % 10)) % 10;
    }

    /// <summary>Whether the last of these digits is the check digit of the others.</summary>
    /// <param name="digits">A whole key; 0 to 9 only.</param>
    /// <exception cref="ArgumentException">Something else than digits is among them.</exception>
    public static bool IsRight(ReadOnlySpan<char> digits) =>
        digits.Length > 1 && char.IsAsciiDigit(digits[^1]) && Of(digits[..^1]) == digits[^1] - '0';
}
