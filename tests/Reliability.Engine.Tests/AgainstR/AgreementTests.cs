using System.Globalization;
using Reliability.Engine.Abstractions;
using Reliability.Engine.Nonparametric;
using Reliability.Engine.Tests.ReferenceValues;
using Reliability.Reference;

namespace Reliability.Engine.Tests.AgainstR;

/// <summary>
/// 500 random samples, and some for the estimates without a model, against R's package survival: run now when Rscript is
/// there, and against its stored answers always. Where survreg does not know late entry, does not converge or stops early (the
/// answer says so in its column "by"), a maximisation of the likelihood written out in agreement.R stands in.
/// </summary>
public sealed class AgreementTests(ITestOutputHelper output)
{
    private const double Estimates = 1e-7;
    private const double LogLikelihood = 1e-9;

    [Fact]
    public void Fits_agree_with_stored_answers_of_R() => Fits(RAnswers.Stored, "stored");

    [Fact]
    public void Fits_agree_with_R_run_now()
    {
        if (Live() is { } answers)
            Fits(answers, "live");
    }

    [Fact]
    public void Estimates_without_a_model_agree_with_stored_answers_of_R() => WithoutModel(RAnswers.Stored, "stored");

    [Fact]
    public void Estimates_without_a_model_agree_with_R_run_now()
    {
        if (Live() is { } answers)
            WithoutModel(answers, "live");
    }

    private RAnswers? Live()
    {
        var answers = RAnswers.Live.Value;
        if (answers is null)
            output.WriteLine("No Rscript with the package survival here: the stored answers alone are compared.");
        return answers;
    }

    private void Fits(RAnswers answers, string which)
    {
        var differences = new Differences();
        var by = new SortedDictionary<string, int>(StringComparer.Ordinal);
        foreach (var sample in AgreementSamples.Fits)
        {
            foreach (var answer in answers.Of(sample))
            {
                by[answer.By] = by.GetValueOrDefault(answer.By) + 1;
                Compare(differences, sample, answer);
            }
        }

        output.WriteLine($"{which} ({answers.Made}): {differences.Compared} figures of {by.Values.Sum()} fits compared.");
        foreach (var (how, count) in by)
            output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"  {how}: {count}"));
        Assert.Equal(4 * AgreementSamples.Fits.Count, by.Values.Sum());
        Assert.True(by.GetValueOrDefault("survreg") > 1000, "Too few fits are survreg's own.");
        Assert.True(differences.Misses.Count == 0, differences.ToString());
    }

    private static void Compare(Differences differences, AgreementSample sample, RAnswer answer)
    {
        var label = string.Create(CultureInfo.InvariantCulture, $"sample {sample.Number}, {answer.What} ({answer.By})");
        var options = new FitOptions { BoundsMethod = BoundsMethod.NormalApproximation };
        if (!Asked.Model(answer.What).Fit(sample.Lives, options).TryGet(out var life, out var refusal))
        {
            differences.Note($"{label}: {refusal.Reason}", answer.Values[2], null, double.PositiveInfinity, 0);
            return;
        }

        // R's location and spread of log life, as the parameters that the model has.
        var (location, sigma) = (answer.Values[0], answer.Values[1]);
        foreach (var parameter in life.Parameters)
        {
            var value = parameter.Estimate.Value!.Value;
            var (wanted, got) = parameter.Name switch
            {
                "mean" or "scale" => (Math.Exp(location), value),
                "mu" => (Math.Exp(location), Math.Exp(value)),
                "shape" => (1 / sigma, value),
                "sigma" => (sigma, value),
                _ => throw new InvalidOperationException($"{answer.What} has a parameter {parameter.Name}."),
            };
            differences.Relative($"{label}, {parameter.Name}", wanted, got, Estimates);
        }

        differences.Relative($"{label}, log-likelihood", answer.Values[2], life.LogLikelihood, LogLikelihood);
    }

    private void WithoutModel(RAnswers answers, string which)
    {
        var differences = new Differences();
        foreach (var sample in AgreementSamples.WithoutModel)
        {
            var rows = answers.Of(sample).ToList();
            Assert.NotEmpty(rows);
            switch (sample.Task)
            {
                case "survival": Survival(differences, sample, rows); break;
                case "incidence": Incidence(differences, sample, rows); break;
                default: Turnbull(differences, sample, rows.Single()); break;
            }
        }

        output.WriteLine($"{which} ({answers.Made}): {differences.Compared} figures compared.");
        Assert.True(differences.Misses.Count == 0, differences.ToString());
    }

    private static void Survival(Differences differences, AgreementSample sample, List<RAnswer> rows)
    {
        var points = Asked.Catalog.Nonparametric.Estimate(sample.Lives).Value.Points;
        Assert.Equal(rows.Count, points.Count);
        for (var k = 0; k < rows.Count; k++)
        {
            var (values, point) = (rows[k].Values, points[k]);
            void Check(string what, double wanted, double? got) =>
                differences.Relative($"sample {sample.Number}, {point.Hours:R} h, {what}", wanted, got, Tolerance.Nonparametric);
            Check("age", values[0], point.Hours);
            Check("at risk", values[1], point.AtRisk);
            Check("failures", values[2], point.Failures);
            differences.Note(
                $"sample {sample.Number}, {point.Hours:R} h, reliability", values[3], point.Reliability.Value,
                Math.Abs(values[3] - point.Reliability.Value!.Value), 1e-13);

            // survfit gives the standard error over the estimate.
            if (point.Reliability.StandardError is { } error)
                Check("standard error", values[3] * values[4], error);
            Check("cumulative hazard", values[5], point.CumulativeHazard.Value);
        }
    }

    private static void Incidence(Differences differences, AgreementSample sample, List<RAnswer> rows)
    {
        foreach (var mode in Asked.Catalog.Nonparametric.Incidence(sample.Lives).Value)
        {
            var own = rows.Where(r => r.What == $"incidence-{mode.FailureMode}").ToList();
            Assert.Equal(own.Count, mode.Points.Count);
            for (var k = 0; k < own.Count; k++)
            {
                var label = $"sample {sample.Number}, mode {mode.FailureMode}, {mode.Points[k].Hours:R} h";
                differences.Relative($"{label}, age", own[k].Values[0], mode.Points[k].Hours, Tolerance.Nonparametric);
                differences.Relative(label, own[k].Values[1], mode.Points[k].Incidence.Value, Tolerance.Nonparametric);
            }
        }
    }

    /// <summary>
    /// The log-likelihood: self-consistency misses the maximum by no more than its violation times the lives. With late entry it may
    /// creep (mass runs to where nobody is known to have been), so there it must come near and not be above.
    /// </summary>
    private static void Turnbull(Differences differences, AgreementSample sample, RAnswer answer)
    {
        var found = TurnbullMaximiser.Maximise(InnermostIntervals.Of(sample.Lives), TestContext.Current.CancellationToken);
        var (wanted, violation) = (answer.Values[0], answer.Values[1]);
        var got = found.LogLikelihood * sample.Lives.TotalCount;
        var rounding = 1e-9 * (1 + Math.Abs(wanted));
        differences.Note($"sample {sample.Number}, violation", 0, found.Violation, found.Violation, TurnbullMaximiser.Tolerance);
        differences.Note(
            $"sample {sample.Number}, log-likelihood ({answer.By})", wanted, got, Math.Max(wanted - got, 0), rounding);
        differences.Note(
            $"sample {sample.Number}, log-likelihood ({answer.By})", wanted, got, Math.Max(got - wanted, 0),
            sample.Lives.HasLateEntry ? 1e-7 : sample.Lives.TotalCount * violation + rounding);
    }
}
