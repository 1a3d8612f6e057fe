using System.Runtime.CompilerServices;

namespace Reliability.Engine.Kernels;

/// <summary>
/// The vector functions that the base library does not have, and a logarithm that takes 0.6 of the time of its own with four doubles at
/// once (decision 0013; the benchmark subject <c>kernels</c> measures it again). Each is one polynomial without branches, right to a few
/// units in the last place of a double (the tests hold them against scalar functions).
/// </summary>
internal static class LaneFunctions
{
    private const double Centre = 3.75;

    /// <summary>
    /// (1 + 2 x) erfcx(x) as a polynomial of t = (x - 3.75) / (x + 3.75), the variable of Shepherd and Laframboise (1981), Mathematics
    /// of Computation 36, 249-253. Coefficients by Chebyshev interpolation in sixty digits; 5e-16 relative for any x from 0 on.
    /// </summary>
    private static ReadOnlySpan<double> Erfcx =>
    [
        1.2375126308378275, -0.14024059858554697, 0.0035854154854644293, 0.0822767384901452,
        -0.10880393014174886, 0.09230432116037748, -0.05869339858963677, 0.028362277418956406,
        -0.009746579558029276, 0.0017556258528952954, 0.0002937136655913448, -0.0002901540805408417,
        5.164909889268241e-05, 2.238423915508223e-05, -1.1444146237700524e-05, -9.73559896736775e-07,
        1.751637648849062e-06, -5.7218230603224086e-08, -2.5866850716155884e-07, 2.3263508708859124e-08,
        3.8675334242222354e-08, -3.744210080962018e-09, -5.1739902140113095e-09, 3.1114333809799254e-10,
        4.2514714447963895e-10,
    ];

    /// <summary>The Taylor coefficients of (1 - exp(-x)) / x.</summary>
    private static ReadOnlySpan<double> Expm1 =>
    [
        1.0, -1 / 2.0, 1 / 6.0, -1 / 24.0, 1 / 120.0, -1 / 720.0, 1 / 5040.0, -1 / 40320.0, 1 / 362880.0, -1 / 3628800.0,
        1 / 39916800.0, -1 / 479001600.0, 1 / 6227020800.0,
    ];

    // log 2 in two parts, the first with so few digits that its product with an exponent is exact.
    private const double LogTwoHigh = 6.93147180369123816490e-01, LogTwoLow = 1.90821492927058770002e-10;

    private const double LeastNormal = 2.2250738585072014e-308;

    /// <summary>erfcx(x) = exp(x^2) erfc(x) for x of 0 or more and finite.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static T ScaledErfc<T>(T x)
        where T : struct, ILanes<T>
    {
        var t = (x - T.All(Centre)) / (x + T.All(Centre));
        var polynomial = Polynomial(Erfcx, t);
        return polynomial / T.MultiplyAdd(T.All(2), x, T.All(1));
    }

    /// <summary>
    /// log(x), within a unit in the last place: x = 2^k (1 + f), s = f / (2 + f), and log(1 + f) = f - f^2/2 + s (f^2/2 + R(s^2)) as fdlibm
    /// has it. What is subnormal, 0, infinite, negative or no number goes to the base library.
    /// </summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static T Log<T>(T x)
        where T : struct, ILanes<T>
    {
        if (!T.AllWithin(x, T.All(LeastNormal), T.All(double.MaxValue)))
            return T.Log(x);
        T.Split(x, out var exponent, out var fraction);
        var excess = fraction - T.All(1);
        var s = excess / (fraction + T.All(1));
        var z = s * s;
        var w = z * z;
        var even = T.MultiplyAdd(w, T.MultiplyAdd(w, T.MultiplyAdd(w, T.All(1.479819860511658591e-01), T.All(1.818357216161805012e-01)),
            T.All(2.857142874366239149e-01)), T.All(6.666666666666735130e-01));
        var odd = T.MultiplyAdd(w, T.MultiplyAdd(w, T.All(1.531383769920937332e-01), T.All(2.222219843214978396e-01)),
            T.All(3.999999999940941908e-01));
        var tail = T.MultiplyAdd(z, even, w * odd);
        var half = T.All(0.5) * excess * excess;
        var rest = half - T.MultiplyAdd(s, half + tail, exponent * T.All(LogTwoLow));
        return T.MultiplyAdd(exponent, T.All(LogTwoHigh), excess - rest);
    }

    /// <summary>1 - exp(-x) for x of 0 or more, keeping its digits near 0.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static T OneMinusExp<T>(T x, T expOfMinusX)
        where T : struct, ILanes<T>
    {
        var near = x * Polynomial(Expm1, T.Min(x, T.All(0.5)));
        return T.WhereLess(x, T.All(0.35), near, T.All(1) - expOfMinusX);
    }

    /// <summary>
    /// log(hours / reference), negative infinity at 0 h. Its digits are kept where the two nearly tie: what the division rounded off is
    /// put back, which elsewhere is below rounding.
    /// </summary>
    /// <param name="hours">0 or more.</param>
    /// <param name="reference">Above 0.</param>
    /// <param name="inverse">1 / reference, finite.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static T LogRatio<T>(T hours, T reference, T inverse)
        where T : struct, ILanes<T>
    {
        var ratio = hours * inverse;
        return Log(ratio) + T.MultiplyAdd(-ratio, reference, hours) * inverse;
    }

    /// <summary>log(upper / lower) with its digits where the two nearly tie; positive infinity where lower is 0.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static T LogWidth<T>(T lower, T upper)
        where T : struct, ILanes<T>
    {
        var excess = (upper - lower) / lower;
        var ratio = T.All(1) + excess;

        // What adding 1 rounded off is put back (Kahan's log1p to first order; the rest is below rounding).
        var lost = T.WhereLess(excess, T.All(2), (excess - (ratio - T.All(1))) / ratio, T.All(0));
        return T.WhereLess(T.All(0), lower, Log(ratio) + lost, T.All(double.PositiveInfinity));
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static T Polynomial<T>(ReadOnlySpan<double> coefficients, T x)
        where T : struct, ILanes<T>
    {
        // Even and odd terms apart: two chains instead of one.
        var square = x * x;
        var last = coefficients.Length - 1;
        T even = T.All(coefficients[last]), odd = T.All(coefficients[last - 1]);
        for (var k = last - 2; k > 0; k -= 2)
        {
            even = T.MultiplyAdd(even, square, T.All(coefficients[k]));
            odd = T.MultiplyAdd(odd, square, T.All(coefficients[k - 1]));
        }

        even = T.MultiplyAdd(even, square, T.All(coefficients[0]));
        return T.MultiplyAdd(odd, x, even);
    }
}
