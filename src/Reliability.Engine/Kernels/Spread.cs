namespace Reliability.Engine.Kernels;

/// <summary>Few rows spread over many.</summary>
internal static class Spread
{
    /// <summary>
    /// Every how many-th row to take: a prime, because rows of a sample often repeat in some period (kinds, sites, inspection ages in turn),
    /// and a stride that shares a factor with it would see a part of them only.
    /// </summary>
    /// <param name="rows">How many there are.</param>
    /// <param name="most">How many may be taken.</param>
    public static int Stride(int rows, int most)
    {
        var stride = Math.Max(1, (rows + most - 1) / most);
        while (stride > 1 && !IsPrime(stride))
            stride++;
        return stride;
    }

    private static bool IsPrime(int number)
    {
        for (var divisor = 2; divisor * divisor <= number; divisor++)
        {
            if (number % divisor == 0)
                return false;
        }

        return true;
    }
}
