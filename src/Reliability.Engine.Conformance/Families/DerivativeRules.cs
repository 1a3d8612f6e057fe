using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Conformance;

/// <summary>Derivatives that a family gives, against differences of its logarithms.</summary>
internal static class DerivativeRules
{
    private const double Tolerance = 1e-5, Rounding = 1e-8;

    private static readonly double[] Fractions = [1e-4, 1e-3, 0.01, 0.1, 0.25, 0.5, 0.75, 0.9, 0.99, 0.999, 1 - 1e-4];

    private delegate void Ask(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result);

    public static Finding Family(FamilyUnderTest subject)
    {
        if (subject.Family is not IFamilyDerivatives derivatives)
            return Finding.NotClaimed("It gives no derivatives; the engine takes differences.");
        var tried = 0;
        foreach (var member in subject.Members)
        {
            var hours = subject.Family.AgesAt(member, [.. Fractions.Select(Tails.Hazard)]);
            tried += Check(subject.Family, member, hours, "log density", subject.Family.LogDensity, derivatives.LogDensityDerivatives);
            tried += Check(subject.Family, member, hours, "log R", subject.Family.LogSurvival, derivatives.LogSurvivalDerivatives);
        }

        return Finding.Kept($"{tried} derivatives");
    }

    private static int Check(ILifeFamily family, double[] member, double[] hours, string what, Ask function, Ask derivatives)
    {
        var size = member.Length;
        var given = new double[hours.Length * size];
        derivatives(member, hours, given);
        double[] Values(int k, double step)
        {
            var moved = (double[])member.Clone();
            moved[k] += step;
            var values = new double[hours.Length];
            function(moved, hours, values);
            return values;
        }

        var at = Values(0, 0);
        var tried = 0;
        for (var k = 0; k < size; k++)
        {
            var p = family.Parameters[k];
            var unit = Math.Min(Math.Min(member[k] - p.Lower, p.Upper - member[k]), Math.Max(Math.Abs(member[k]), 1e-300));
            if (!(unit > 0))
                continue;
            var step = 1e-3 * unit;
            var (up, down, halfUp, halfDown) = (Values(k, step), Values(k, -step), Values(k, step / 2), Values(k, -step / 2));
            for (var i = 0; i < hours.Length; i++)
            {
                // Richardson's step towards no step at all.
                var difference = (8 * (halfUp[i] - halfDown[i]) - (up[i] - down[i])) / (6 * step);
                if (!double.IsFinite(difference))
                    continue;
                Broken.Unless(
                    Math.Abs(given[i * size + k] - difference) <= Tolerance * Math.Abs(difference) + Rounding * (1 + Math.Abs(at[i])) / unit,
                    $"The derivative of {what} by {p.Name} at {hours[i]:G8} h is {given[i * size + k]:G10} for {DescriptionRules.Named(member)}; differences give {difference:G10}.");
                tried++;
            }
        }

        return tried;
    }
}
