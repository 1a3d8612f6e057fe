using Reliability.Engine.Abstractions;

namespace BirnbaumSaunders;

/// <summary>
/// The fatigue life of Birnbaum and Saunders (1969): a crack grows by normal amounts until it is too long, so that
/// F(t) = Phi((sqrt(t/beta) - sqrt(beta/t)) / alpha). beta is the median life.
/// </summary>
public sealed class BirnbaumSaundersFamily : ILifeFamily
{
    public const string Source = "Birnbaum and Saunders, Journal of Applied Probability 6 (1969) 319-347";

    public string Id => "birnbaum-saunders";

    public string DisplayName => "Birnbaum-Saunders";

    public IReadOnlyList<ParameterDescription> Parameters { get; } =
        [ParameterDescription.Positive("alpha"), ParameterDescription.Positive("beta", "hours")];

    public bool ScaleEquivariant => true;

    public IPlotScale Plot { get; } = new FatiguePaper();

    // With half the logarithm of t over beta, d, the argument of Phi is 2 sinh(d) / alpha: no root or ratio overflows on the way.
    public void LogDensity(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
    {
        var (alpha, logBeta) = (parameters[0], Math.Log(parameters[1]));
        for (var i = 0; i < hours.Length; i++)
        {
            var log = Math.Log(hours[i]);
            var d = (log - logBeta) / 2;
            var logCosh = Math.Abs(d) + Math.Log(1 + Math.Exp(-2 * Math.Abs(d))) - Math.Log(2);
            result[i] = Normal.LogDensity(2 * Math.Sinh(d) / alpha) + logCosh - Math.Log(alpha) - log;
        }
    }

    public void LogSurvival(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
    {
        var (alpha, logBeta) = (parameters[0], Math.Log(parameters[1]));
        for (var i = 0; i < hours.Length; i++)
            result[i] = hours[i] > 0 ? Normal.LogSurvival(2 * Math.Sinh((Math.Log(hours[i]) - logBeta) / 2) / alpha) : 0;
    }

    public void Quantile(ReadOnlySpan<double> parameters, ReadOnlySpan<double> fractions, Span<double> result)
    {
        var (alpha, beta) = (parameters[0], parameters[1]);
        for (var i = 0; i < fractions.Length; i++)
            result[i] = beta * Math.Exp(2 * Math.Asinh(alpha * Normal.Quantile(fractions[i]) / 2));
    }

    public double? Mean(ReadOnlySpan<double> parameters) => parameters[1] * (1 + parameters[0] * parameters[0] / 2);

    /// <summary>The median of what failed, or somewhat more where many survived, with little and with much spread.</summary>
    public IReadOnlyList<double[]> Starts(LifeSample sample)
    {
        var failed = new List<double>();
        for (var i = 0; i < sample.RowCount; i++)
        {
            if (sample.Outcomes[i] != LifeOutcome.Survived)
                failed.Add((sample.LowerHours[i] + sample.UpperHours[i]) / 2);
        }

        failed.Sort();
        var middle = failed[failed.Count / 2];
        return
        [
            .. from alpha in new[] { 0.1, 0.3, 1, 3 }
               from beta in new[] { middle, 2 * middle }
               select new[] { alpha, beta },
        ];
    }
}
