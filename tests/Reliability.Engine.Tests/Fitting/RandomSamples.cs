using CsCheck;
using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Tests.Fitting;

/// <summary>Random samples for property tests.</summary>
internal static class RandomSamples
{
    /// <summary>Ordinary samples that have a maximum: several distinct failures with survivors, intervals and late entry among them.</summary>
    public static Gen<LifeSample> Ordinary { get; } =
        from shape in Gen.Double[0.4, 6]
        from scale in Gen.Double[-3, 6].Select(e => Math.Pow(10, e))
        from rows in Gen.Select(Gen.Double[0.001, 0.999], Gen.Double[0, 1], Gen.Int[0, 5], Gen.Int[1, 3]).List[12, 60]
        select Make(shape, scale, rows);

    /// <summary>Anything that the builder lets through, ties, extremes and nonsense included.</summary>
    public static Gen<LifeSample> Hostile { get; } =
        from exponent in Gen.Double[-9, 9]
        from spread in Gen.OneOf(Gen.Const(0.0), Gen.Const(1e-12), Gen.Const(1e-6), Gen.Const(0.01), Gen.Const(1.0), Gen.Const(5.0))
        from rows in Gen.Select(
            Gen.Double[-1, 1], Gen.Double[0, 1], Gen.Int[0, 4], Gen.OneOf(Gen.Const(1.0), Gen.Const(2.0), Gen.Const(1000.0), Gen.Const(0.01), Gen.Const(1e9)), Gen.Bool).List[0, 20]
        select MakeHostile(exponent, spread, rows);

    /// <summary>Two subpopulations, of which the early one is a quarter to a half.</summary>
    public static Gen<LifeSample> Mixed { get; } =
        from scale in Gen.Double[-3, 6].Select(e => Math.Pow(10, e))
        from shape in Gen.Double[0.8, 2]
        from early in Gen.Double[0.001, 0.999].List[15, 25]
        from late in Gen.Double[0.001, 0.999].List[35, 50]
        select MakeMixed(scale, shape, early, late);

    /// <summary>Samples at the ends of what hours and counts can be.</summary>
    public static Gen<LifeSample> Extreme { get; } =
        from exponent in Gen.OneOf(Gen.Double[-9, 9], Gen.Double[-30, 30], Gen.Double[-250, 250])
        from spread in Gen.OneOf(Gen.Const(0.0), Gen.Const(1e-9), Gen.Const(0.05), Gen.Const(1.0), Gen.Const(4.0))
        from rows in Gen.Select(
            Gen.Double[-1, 1], Gen.Double[0, 1], Gen.Int[0, 5], Gen.OneOf(Gen.Const(1.0), Gen.Const(3.0), Gen.Const(1e-3), Gen.Const(1e9)), Gen.Bool).List[0, 25]
        from censored in Gen.OneOf(Gen.Const(0.0), Gen.Const(999.0), Gen.Const(1e9))
        select MakeExtreme(exponent, spread, rows, censored);

    private static LifeSample MakeMixed(double scale, double shape, List<double> early, List<double> late)
    {
        var builder = new LifeSampleBuilder();
        foreach (var f in early)
            builder.AddFailed(0.02 * scale * Math.Pow(-Math.Log(1 - f), 1 / shape));
        foreach (var f in late)
        {
            var t = scale * Math.Pow(-Math.Log(1 - f), 1 / 4.0);
            _ = f > 0.9 ? builder.AddSurvived(scale * 1.2) : builder.AddFailed(t);
        }

        return builder.Build();
    }

    private static LifeSample MakeExtreme(
        double exponent, double spread, List<(double X, double C, int Kind, double Count, bool Late)> rows, double censored)
    {
        var builder = new LifeSampleBuilder();
        foreach (var (x, c, kind, count, late) in rows)
        {
            // Late entry just below the end: by a part in 1e12, or by the last digit of a number.
            var t = Math.Pow(10, exponent + spread * x);
            var entry = !late ? 0 : c < 0.3 ? Math.BitDecrement(t) : c < 0.6 ? t * (1 - 1e-12) : t * c * 0.999;
            switch (kind)
            {
                case 0 or 5: builder.AddFailed(t, entry, count, failureMode: c < 0.5 ? "a" : c < 0.8 ? "b" : null); break;
                case 1: builder.AddSurvived(t, entry, count); break;
                case 2: builder.AddBetween(entry, t, entry, count, failureMode: "a"); break;
                case 3: builder.AddBetween(t, t * (1 + 1e-12), entry, count, failureMode: "b"); break;
                default: builder.AddBetween(t, t * 2, entry, count); break;
            }
        }

        if (censored > 0)
            builder.AddSurvived(Math.Pow(10, exponent), 0, censored);
        return builder.Build();
    }

    private static LifeSample Make(double shape, double scale, List<(double F, double C, int Kind, int Count)> rows)
    {
        var builder = new LifeSampleBuilder();
        double Life(double f) => scale * Math.Pow(-Math.Log(1 - f), 1 / shape);

        // Two failures with a survivor beyond them anchor the sample: there always is a maximum.
        builder.AddFailed(Life(0.3)).AddFailed(Life(0.5)).AddSurvived(Life(0.9));
        foreach (var (f, c, kind, count) in rows)
        {
            var t = Life(f);
            var entry = kind == 5 ? t * c * 0.9 : 0;
            switch (kind)
            {
                case 0 or 1 or 5: builder.AddFailed(t, entry, count); break;
                case 2: builder.AddSurvived(t, entry, count); break;
                case 3: builder.AddBetween(t * c * 0.99, t, 0, count); break;
                default: builder.AddBetween(t, t * (1 + c) + scale * 1e-3, 0, count); break;
            }
        }

        return builder.Build();
    }

    private static LifeSample MakeHostile(
        double exponent, double spread, List<(double X, double C, int Kind, double Count, bool Late)> rows)
    {
        var builder = new LifeSampleBuilder();
        foreach (var (x, c, kind, count, late) in rows)
        {
            var t = Math.Pow(10, exponent + spread * x);
            var entry = late ? t * c * 0.999 : 0;
            switch (kind)
            {
                case 0: builder.AddFailed(t, entry, count); break;
                case 1: builder.AddSurvived(t, entry, count); break;
                case 2: builder.AddBetween(entry, t, entry, count); break;
                case 3: builder.AddBetween(t, t * (1 + 1e-12), entry, count); break;
                default: builder.AddBetween(t, t * 2, entry, count); break;
            }
        }

        return builder.Build();
    }
}
