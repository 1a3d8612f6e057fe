using Reliability.Engine.Abstractions;
using Reliability.Engine.Tests.ReferenceValues;
using Reliability.Reference;

namespace Reliability.Engine.Tests.Fitting;

/// <summary>The generalized gamma against the models within it, whose values come from the reference files.</summary>
public sealed class GeneralizedGammaTests
{
    public static TheoryData<string> Cases() =>
        [.. ReferenceCase.Names.Where(n => ReferenceCase.Load(n).Fits.Any(f => f.LifeModel == "gamma"))];

    [Theory]
    [MemberData(nameof(Cases))]
    public void Held_at_a_model_within_it_it_agrees_with_that_model(string name)
    {
        var reference = ReferenceCase.Load(name);
        var sample = Asked.Sample(reference.Observations);
        var model = Asked.Model("generalized-gamma");
        var token = TestContext.Current.CancellationToken;
        foreach (var (lambda, within) in new[] { (1.0, "weibull"), (0.0, "lognormal") })
        {
            var expected = reference.Fits.Single(f => f.LifeModel == within);
            foreach (var bounds in (ReferenceBounds[])[ReferenceBounds.NormalApproximation, ReferenceBounds.LikelihoodRatio])
            {
                var options = Asked.Options(bounds, 0.95) with { FixedParameters = new Dictionary<string, double> { ["lambda"] = lambda } };
                var life = model.Fit(sample, options, token).Value;
                var differences = new Differences();
                expected.Compare(differences, $"{name}, {within}", bounds, 0.95, q => Ask(life, within, q));
                Assert.True(differences.Compared > 0);
                Assert.True(differences.Misses.Count == 0, differences.ToString());
                Assert.Equal(expected.LogLikelihood, life.LogLikelihood!.Value, 1e-8 * (1 + Math.Abs(expected.LogLikelihood)));
            }
        }
    }

    [Theory]
    [MemberData(nameof(Cases))]
    public void Free_it_is_at_least_as_likely_as_all_within_it(string name)
    {
        var reference = ReferenceCase.Load(name);
        var sample = Asked.Sample(reference.Observations);

        var outcome = Asked.Model("generalized-gamma").Fit(sample, FitOptions.Default, TestContext.Current.CancellationToken);

        if (outcome.TryGet(out var life, out var reason))
        {
            foreach (var within in reference.Fits.Where(f => f.LifeModel is "weibull" or "lognormal" or "gamma" or "exponential"))
                Assert.True(life.LogLikelihood >= within.LogLikelihood - 1e-9, $"{within.LifeModel}: {life.LogLikelihood} < {within.LogLikelihood}");
        }
        else
        {
            Assert.Contains(reason.Reason, (string[])[NotEstimableReasons.MaximumAtInfinity, NotEstimableReasons.SingularInformation]);
        }
    }

    /// <summary>The parameters of the model within are asked by their own names; what is not the same question is not asked.</summary>
    private static Answer Ask(IFittedLife life, string within, Question question)
    {
        if (question.Kind != QuestionKind.Parameter)
            return Asked.Ask(life, question);
        if (within == "lognormal")
            return Asked.Ask(life, question);

        // scale = exp(mu), shape = 1/sigma: monotone, and bounds of either kind follow them.
        var (name, back, reversed) = question.Name == "scale"
            ? ("mu", (Func<double, double>)Math.Exp, false)
            : ("sigma", x => 1 / x, true);
        var e = life.Parameters.Single(p => p.Name == name).Estimate;
        double? Back(double? x) => x is { } v ? back(v) : null;
        var value = Back(e.Value)!.Value;
        var error = e.StandardError * (reversed ? value * value : value);
        return new Answer(value, Back(reversed ? e.Upper : e.Lower), Back(reversed ? e.Lower : e.Upper), error);
    }
}
