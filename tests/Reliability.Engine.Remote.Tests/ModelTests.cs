using Reliability.Engine.Abstractions;
using Reliability.Engine.Families;
using Xunit;

namespace Reliability.Engine.Remote.Tests;

/// <summary>What a well-behaved plug-in answers is what its formulas give.</summary>
public sealed class ModelTests(WellBehaved plugIn) : IClassFixture<WellBehaved>
{
    private static CancellationToken Token => TestContext.Current.CancellationToken;

    private readonly Hosted _hosted = plugIn.Hosted;

    [Fact]
    public void A_family_answers_batches_larger_than_a_message()
    {
        const int Ages = 150_000;
        var hours = Enumerable.Range(1, Ages).Select(i => i * 0.01).ToArray();
        var result = new double[Ages];
        _hosted.Family.LogDensity([0.01, 1000], hours, result);
        for (var i = 0; i < Ages; i += 997)
            Assert.Equal(Math.Log(1e-5) + hours[i] / 1000 - 0.01 * (Math.Exp(hours[i] / 1000) - 1), result[i], 1e-12);
        Assert.Null(_hosted.Family.Mean([0.01, 1000]));
    }

    [Fact]
    public void Questions_that_were_foretold_are_answered_in_one_call_and_others_are_asked()
    {
        var distant = Assert.IsAssignableFrom<IDistantFamily>(_hosted.Family);
        double[] failures = [100, 200, 300], survivors = [400, 500], result = new double[3];
        double[][] members = [.. Enumerable.Range(1, 20).Select(i => new[] { 0.01 * i, 1000 })];
        FamilyQuestion[] questions = [new(FamilyAnswer.LogDensity, failures), new(FamilyAnswer.LogSurvival, survivors), new(FamilyAnswer.LogSurvival, [700])];
        var before = _hosted.PlugIn.Calls;
        distant.Expect(questions, members);
        distant.Expect(questions, members[3..5]);
        foreach (var member in members)
        {
            distant.LogDensity(member, failures, result);
            Assert.Equal(Math.Log(member[0] / 1000) + 0.3 - member[0] * (Math.Exp(0.3) - 1), result[2], 1e-12);
            distant.LogSurvival(member, survivors, result.AsSpan(0, 2));
            Assert.Equal(-member[0] * (Math.Exp(0.5) - 1), result[1], 1e-12);
            distant.LogSurvival(member, [700], result.AsSpan(0, 1));
            Assert.Equal(-member[0] * (Math.Exp(0.7) - 1), result[0], 1e-12);
        }

        Assert.Equal(1, _hosted.PlugIn.Calls - before);

        // Other ages, other parameters.
        distant.LogSurvival(members[0], [400, 501], result.AsSpan(0, 2));
        Assert.Equal(-0.01 * (Math.Exp(0.501) - 1), result[1], 1e-12);
        distant.LogSurvival([2, 1000], survivors, result.AsSpan(0, 2));
        Assert.Equal(-2 * (Math.Exp(0.5) - 1), result[1], 1e-12);
        Assert.Equal(3, _hosted.PlugIn.Calls - before);

        // More numbers than a message may hold go in several.
        var many = Enumerable.Range(1, 20_000).Select(i => (double)i).ToArray();
        distant.Expect([new(FamilyAnswer.LogSurvival, many)], members[..5]);
        Assert.Equal(6, _hosted.PlugIn.Calls - before);
        var answers = new double[many.Length];
        distant.LogSurvival(members[4], many, answers);
        Assert.Equal(-0.05 * (Math.Exp(2) - 1), answers[1999], 1e-12);
        Assert.Equal(6, _hosted.PlugIn.Calls - before);
    }

    /// <summary>The same fit of the same formulas in this process, where nothing is foretold.</summary>
    [Fact]
    public void A_fit_whose_questions_are_foretold_is_the_same_to_the_last_bit_and_takes_a_tenth_of_the_calls()
    {
        var sample = new LifeSampleBuilder().AddFailed(900).AddFailed(1800).AddFailed(2600, 300).AddFailed(3200).AddFailed(3500).AddFailed(3900).AddFailed(4100)
            .AddBetween(4000, 4400).AddBetween(3000, 3001).AddSurvived(4500, count: 3).Build();
        IEnumerable<double?> Fit(ILifeFamily family)
        {
            var fit = BuiltInLifeModels.FromFamily(family, "Gompertz 1825", "1.0").Fit(sample, FitOptions.Default, Token).Value;
            BoundedEstimate[] all = [.. fit.Parameters.Select(p => p.Estimate), fit.PercentileLife(0.1, Token), fit.ConditionalReliability(2000, 500, Token)];
            return all.SelectMany(e => new[] { e.Value, e.Lower, e.Upper, e.StandardError });
        }

        var here = new Gompertz(_hosted.Family);
        var before = _hosted.PlugIn.Calls;
        Assert.Equal(Fit(here), Fit(_hosted.Family));
        var calls = _hosted.PlugIn.Calls - before;
        Assert.True(calls * 10 < here.Questions, $"{here.Questions} questions took {calls} calls.");
    }

    [Fact]
    public async Task A_call_of_a_family_ends_when_who_waits_for_it_gives_up()
    {
        using var hosted = new Hosted("loops", s => s with { Deadline = TimeSpan.FromMinutes(10) }).Up();
        using var patience = new CancellationTokenSource(TimeSpan.FromSeconds(0.5));
        var work = Task.Run(() => CallerCancellation.Within(() => hosted.LogSurvival(100), patience.Token), Token);
        Assert.Same(work, await Task.WhenAny(work, Task.Delay(TimeSpan.FromMinutes(2), Token)));
        await Assert.ThrowsAnyAsync<OperationCanceledException>(() => work);
    }

    [Fact]
    public void A_family_becomes_a_model_whose_fit_solves_the_likelihood_equation()
    {
        var builder = new LifeSampleBuilder();
        foreach (var hours in new double[] { 900, 1800, 2600, 3200, 3500, 3900, 4100, 4400 })
            builder.AddFailed(hours);
        builder.AddSurvived(4500, count: 3);
        var fit = BuiltInLifeModels.FromFamily(_hosted.Family, "Gompertz 1825", "1.0").Fit(builder.Build(), FitOptions.Default, Token).Value;
        var (shape, scale) = (fit.Parameters[0].Estimate.Value!.Value, fit.Parameters[1].Estimate.Value!.Value);

        // At the maximum shape is failures over the sum of exp(t / scale) - 1.
        double[] all = [900, 1800, 2600, 3200, 3500, 3900, 4100, 4400, 4500, 4500, 4500];
        Assert.Equal(8 / all.Sum(t => Math.Exp(t / scale) - 1), shape, 1e-6 * shape);
        Assert.NotNull(fit.PercentileLife(0.1, Token).Lower);
    }

    [Fact]
    public void Its_own_axis_makes_the_line_of_its_straight_parameters_straight()
    {
        var plot = _hosted.Family.Plot;
        Assert.Equal("gompertz", plot.FractionScale);
        foreach (var hours in new double[] { 100, 1000, 3000, 5000 })
        {
            var failed = -Math.Exp(_hosted.LogSurvival(hours)) + 1;
            Assert.Equal(plot.HoursToAxis(hours), plot.FractionToAxis(failed), hours * 1e-3);
            Assert.Equal(failed, plot.AxisToFraction(plot.FractionToAxis(failed)), 1e-9);
        }
    }

    [Fact]
    public void An_estimator_gets_a_sample_of_many_messages_and_answers_every_quantity()
    {
        var builder = new LifeSampleBuilder();
        for (var i = 1; i <= 20_000; i++)
            builder.AddFailed(i);
        builder.AddSurvived(30_000);
        var fit = _hosted.Estimator.Fit(
            builder.Build(), FitOptions.Default with { BoundsMethod = BoundsMethod.NormalApproximation },
            Token).Value;
        Assert.Equal(10_000.5, fit.Parameters[0].Estimate.Value!.Value, 1e-9);
        Assert.Equal(10_000.5, fit.Mean(Token).Value!.Value, 1e-9);
        Assert.Equal(Math.Exp(-1), fit.Reliability(10_000.5, Token).Value!.Value, 1e-12);
        Assert.Equal("NO_BOUNDS", Assert.Single(fit.Mean(Token).Notes).Code);
        Assert.Equal([0.5, 1], fit.Curve([5_000.25, 10_000.5], Token).Select(p => p.AxisFraction!.Value), (a, b) => Math.Abs(a - b) < 1e-12);
    }

    [Fact]
    public void An_estimator_says_that_there_is_no_fit_and_refuses_what_it_cannot()
    {
        var alive = new LifeSampleBuilder().AddSurvived(100).Build();
        var options = FitOptions.Default with { BoundsMethod = BoundsMethod.NormalApproximation };
        Assert.Equal("NO_FAILURES", _hosted.Estimator.Fit(alive, options, Token).NotEstimable!.Reason);
        Assert.Equal(
            "bounds_method", Assert.Throws<UnsupportedRequestException>(() => _hosted.Estimator.Fit(alive, FitOptions.Default, Token)).Option);
    }

    [Fact]
    public void The_log_says_how_it_is_held()
    {
        Assert.Contains(_hosted.Log, line => line.Contains("gompertz 1.0 answers", StringComparison.Ordinal)
            && (line.Contains("watched", StringComparison.Ordinal) || line.Contains("cgroup v2", StringComparison.Ordinal))
            && line.Contains("by the system with the host", StringComparison.Ordinal));
    }

    /// <summary>The family of the hostile program, in this process.</summary>
    private sealed class Gompertz(ILifeFamily described) : ILifeFamily
    {
        public int Questions { get; private set; }

        public string Id => described.Id;

        public string DisplayName => described.DisplayName;

        public IReadOnlyList<ParameterDescription> Parameters => described.Parameters;

        public bool ScaleEquivariant => described.ScaleEquivariant;

        public IPlotScale Plot => described.Plot;

        public void LogDensity(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
        {
            var (shape, scale) = (parameters[0], parameters[1]);
            for (var i = 0; i < hours.Length; i++)
                result[i] = Math.Log(shape / scale) + hours[i] / scale - shape * (Math.Exp(hours[i] / scale) - 1);
            Questions += hours.Length > 0 ? 1 : 0;
        }

        public void LogSurvival(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
        {
            for (var i = 0; i < hours.Length; i++)
                result[i] = -parameters[0] * (Math.Exp(hours[i] / parameters[1]) - 1);
            Questions += hours.Length > 0 ? 1 : 0;
        }

        public void Quantile(ReadOnlySpan<double> parameters, ReadOnlySpan<double> fractions, Span<double> result)
        {
            for (var i = 0; i < fractions.Length; i++)
                result[i] = parameters[1] * Math.Log(1 - Math.Log(1 - fractions[i]) / parameters[0]);
            Questions += fractions.Length > 0 ? 1 : 0;
        }

        public double? Mean(ReadOnlySpan<double> parameters) => null;
    }
}
