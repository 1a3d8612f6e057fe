using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Families;

/// <summary>
/// The generalized gamma distribution (Stacy, Annals of Mathematical Statistics 33 (1962) 1187-1192) in the parameters of
/// Prentice (Biometrika 61 (1974) 539-544): log T = mu + sigma W, and with k = 1/lambda^2 the variable k exp(lambda W) is
/// gamma with shape k. Weibull at lambda = 1 (shape 1/sigma), lognormal at 0, gamma where lambda = sigma (shape
/// 1/lambda^2), exponential at lambda = sigma = 1; negative lambda has a heavy upper tail. In Stacy's terms, for lambda above
/// 0, density proportional to t^(d-1) exp(-(t/a)^p) with p = lambda/sigma, d = 1/(lambda sigma).
/// </summary>
internal sealed class GeneralizedGammaFamily : LogGammaFamily
{
    public override string Id => "generalized-gamma";

    public override string DisplayName => "Generalized gamma";

    public override IReadOnlyList<ParameterDescription> Parameters { get; } =
        [ParameterDescription.Real("mu"), ParameterDescription.Positive("sigma"), ParameterDescription.Real("lambda")];

    /// <remarks>E exp(sigma W) = lambda^(2 sigma / lambda) Gamma(k + sigma / lambda) / Gamma(k); for negative lambda only
    /// where -sigma lambda &lt; 1.</remarks>
    public override double? Mean(ReadOnlySpan<double> parameters)
    {
        var (mu, sigma, lambda) = (parameters[0], parameters[1], parameters[2]);

        // Near the lognormal the gamma functions cancel; the engine integrates there.
        if (Math.Abs(lambda) < 0.02)
            return null;
        var k = 1 / (lambda * lambda);
        var raised = k + sigma / lambda;
        return raised <= 0
            ? double.PositiveInfinity
            : Math.Exp(mu + 2 * sigma / lambda * Math.Log(Math.Abs(lambda)) + MathNet.Numerics.SpecialFunctions.GammaLn(raised)
                - MathNet.Numerics.SpecialFunctions.GammaLn(k));
    }

    public override IReadOnlyList<double[]> Starts(LifeSample sample)
    {
        var mu = LogTypical(sample);
        return
        [
            .. from sigma in new[] { 0.1, 0.3, 0.7, 1.5, 4 }
               from lambda in new[] { -1, 0, 0.5, 1, 2 }
               select new[] { mu, sigma, lambda },
        ];
    }

    protected override (double Mu, double Sigma, double Q) LogGamma(ReadOnlySpan<double> parameters) =>
        (parameters[0], parameters[1], parameters[2]);
}
