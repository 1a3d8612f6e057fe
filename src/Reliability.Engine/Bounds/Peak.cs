namespace Reliability.Engine.Bounds;

/// <summary>The greatest value of a function of one variable with one peak between two ends.</summary>
internal static class Peak
{
    private const double Golden = 0.3819660112501051;
    private const int MostSteps = 60;

    /// <summary>The greatest value near the middle point: parabolic steps with golden sections (Brent 1973, ch. 5).</summary>
    /// <param name="f">The function; null where it has no value, which ends the search.</param>
    /// <param name="low">Lower end.</param>
    /// <param name="middle">Where to begin, between the ends.</param>
    /// <param name="high">Upper end.</param>
    /// <param name="tolerance">How near the place must be found; the value is then off by its square.</param>
    /// <returns>Place and value; null when the function has no value somewhere on the way.</returns>
    public static (double At, double Value)? Find(
        Func<double, double?> f, double low, double middle, double high, double tolerance)
    {
        if (f(middle) is not { } best)
            return null;
        double x = middle, second = middle, third = middle;
        double secondValue = best, thirdValue = best;
        double step = 0, previousStep = 0;
        for (var i = 0; i < MostSteps; i++)
        {
            var centre = (low + high) / 2;
            if (Math.Abs(x - centre) <= 2 * tolerance - (high - low) / 2)
                break;
            var parabolic = false;
            if (Math.Abs(previousStep) > tolerance)
            {
                var r = (x - second) * (thirdValue - best);
                var q = (x - third) * (secondValue - best);
                var p = (x - third) * q - (x - second) * r;
                q = 2 * (q - r);
                if (q > 0)
                    p = -p;
                q = Math.Abs(q);
                if (Math.Abs(p) < Math.Abs(0.5 * q * previousStep) && p > q * (low - x) && p < q * (high - x))
                {
                    previousStep = step;
                    step = p / q;
                    parabolic = true;
                }
            }

            if (!parabolic)
            {
                previousStep = x < centre ? high - x : low - x;
                step = Golden * previousStep;
            }

            var next = x + (Math.Abs(step) >= tolerance ? step : Math.CopySign(tolerance, step));
            if (f(next) is not { } value)
                return null;
            if (value >= best)
            {
                if (next < x)
                    high = x;
                else
                    low = x;
                (third, thirdValue) = (second, secondValue);
                (second, secondValue) = (x, best);
                (x, best) = (next, value);
                continue;
            }

            if (next < x)
                low = next;
            else
                high = next;
            if (value >= secondValue || second == x)
            {
                (third, thirdValue) = (second, secondValue);
                (second, secondValue) = (next, value);
            }
            else if (value >= thirdValue || third == x || third == second)
            {
                (third, thirdValue) = (next, value);
            }
        }

        return (x, best);
    }
}
