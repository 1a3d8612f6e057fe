namespace Reliability.Engine.SpecialFunctions;

/// <summary>
/// The scaled complementary error function erfcx(x) = exp(x^2) erfc(x), which neither underflows nor cancels in the
/// tail. Rational approximations of W. J. Cody, Mathematics of Computation 23 (1969) 631-637; about 1e-15 relative.
/// </summary>
internal static class ScaledErfc
{
    private const double OneOverSqrtPi = 0.56418958354775628695;

    /// <summary>erfcx(x) for any x; positive infinity below about -26.6.</summary>
    public static double At(double x)
    {
        var y = Math.Abs(x);
        double value;
        if (y <= 0.46875)
        {
            var square = y * y;
            var p = (((0.185777706184603153 * square + 3.16112374387056560) * square + 113.864154151050156) * square
                + 377.485237685302021) * square + 3209.37758913846947;
            var q = (((square + 23.6012909523441209) * square + 244.024637934444173) * square + 1282.61652607737228)
                * square + 2844.23683343917062;
            return Math.Exp(square) * (1 - x * p / q);
        }

        if (y <= 4)
        {
            var p = (((((((2.15311535474403846e-8 * y + 0.564188496988670089) * y + 8.88314979438837594) * y
                + 66.1191906371416295) * y + 298.635138197400131) * y + 881.952221241769090) * y
                + 1712.04761263407058) * y + 2051.07837782607147) * y + 1230.33935479799725;
            var q = (((((((y + 15.7449261107098347) * y + 117.693950891312499) * y + 537.181101862009858) * y
                + 1621.38957456669019) * y + 3290.79923573345963) * y + 4362.61909014324716) * y
                + 3439.36767414372164) * y + 1230.33935480374942;
            value = p / q;
        }
        else
        {
            var inverse = 1 / (y * y);
            var p = ((((0.0163153871373020978 * inverse + 0.305326634961232344) * inverse + 0.360344899949804439)
                * inverse + 0.125781726111229246) * inverse + 0.0160837851487422766) * inverse + 0.000658749161529837803;
            var q = ((((inverse + 2.56852019228982242) * inverse + 1.87295284992346725) * inverse
                + 0.527905102951428412) * inverse + 0.0605183413124413191) * inverse + 0.00233520497626869185;
            value = (OneOverSqrtPi - inverse * p / q) / y;
        }

        return x < 0 ? 2 * Math.Exp(x * x) - value : value;
    }
}
