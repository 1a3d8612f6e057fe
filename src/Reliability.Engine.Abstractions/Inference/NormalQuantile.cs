namespace Reliability.Engine.SpecialFunctions;

/// <summary>Quantiles of the standard normal to about 1e-16 (Wichura 1988, algorithm AS 241, PPND16), from the base library alone.</summary>
internal static class NormalQuantile
{
    private static readonly double[] CentreAbove =
    [
        2.5090809287301226727e+3, 3.3430575583588128105e+4, 6.7265770927008700853e+4, 4.5921953931549871457e+4,
        1.3731693765509461125e+4, 1.9715909503065514427e+3, 1.3314166789178437745e+2, 3.3871328727963666080,
    ];

    private static readonly double[] CentreBelow =
    [
        5.2264952788528545610e+3, 2.8729085735721942674e+4, 3.9307895800092710610e+4, 2.1213794301586595867e+4,
        5.3941960214247511077e+3, 6.8718700749205790830e+2, 4.2313330701600911252e+1, 1,
    ];

    private static readonly double[] TailAbove =
    [
        7.74545014278341407640e-4, 2.27238449892691845833e-2, 2.41780725177450611770e-1, 1.27045825245236838258,
        3.64784832476320460504, 5.76949722146069140550, 4.63033784615654529590, 1.42343711074968357734,
    ];

    private static readonly double[] TailBelow =
    [
        1.05075007164441684324e-9, 5.47593808499534494600e-4, 1.51986665636164571966e-2, 1.48103976427480074590e-1,
        6.89767334985100004550e-1, 1.67638483018380384940, 2.05319162663775882187, 1,
    ];

    private static readonly double[] FarAbove =
    [
        2.01033439929228813265e-7, 2.71155556874348757815e-5, 1.24266094738807843860e-3, 2.65321895265761230930e-2,
        2.96560571828504891230e-1, 1.78482653991729133580, 5.46378491116411436990, 6.65790464350110377720,
    ];

    private static readonly double[] FarBelow =
    [
        2.04426310338993978564e-15, 1.42151175831644588870e-7, 1.84631831751005468180e-5, 7.86869131145613259100e-4,
        1.48753612908506148525e-2, 1.36929880922735805310e-1, 5.99832206555887937690e-1, 1,
    ];

    /// <summary>The quantile of a two-sided level: 1.96 for 0.95.</summary>
    /// <param name="level">Above 0 and below 1.</param>
    public static double TwoSided(double level)
    {
        var tail = (1 - level) / 2;
        var fromMiddle = level / 2;
        if (fromMiddle <= 0.425)
        {
            var r = 0.180625 - fromMiddle * fromMiddle;
            return fromMiddle * Polynomial(CentreAbove, r) / Polynomial(CentreBelow, r);
        }

        var root = Math.Sqrt(-Math.Log(tail));
        return root <= 5
            ? Polynomial(TailAbove, root - 1.6) / Polynomial(TailBelow, root - 1.6)
            : Polynomial(FarAbove, root - 5) / Polynomial(FarBelow, root - 5);
    }

    private static double Polynomial(double[] highestFirst, double x)
    {
        double sum = 0;
        foreach (var coefficient in highestFirst)
            sum = sum * x + coefficient;
        return sum;
    }
}
