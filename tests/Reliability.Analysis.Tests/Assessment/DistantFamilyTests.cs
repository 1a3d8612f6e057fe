using System.Collections.Concurrent;
using Reliability.Engine;
using Reliability.Engine.Abstractions;
using Reliability.Engine.Families;
using Xunit;

namespace Reliability.Analysis.Tests.Assessment;

/// <summary>
/// Work on many threads that asks a family in another process: no more of them than it answers at once, and none of the pool, which would
/// serve nobody else while they wait.
/// </summary>
public sealed class DistantFamilyTests
{
    private static readonly LifeSample Sample =
        new LifeSampleBuilder().AddFailed(310).AddFailed(480).AddFailed(700).AddFailed(905).AddSurvived(1200, 0, 3).Build();

    private static CancellationToken Token => TestContext.Current.CancellationToken;

    [Theory]
    [InlineData(1)]
    [InlineData(3)]
    public async Task Simulations_wait_for_it_on_threads_of_their_own(int callers)
    {
        var family = new Watched(callers);
        var model = BuiltInLifeModels.FromFamily(family, "a test", "1");
        var test = await Task.Factory.StartNew(
            () =>
            {
                var fit = model.Fit(Sample, new FitOptions { BoundsMethod = BoundsMethod.Bootstrap, Replicates = 99, Seed = 1 }, Token).Value;
                Assert.NotNull(fit.Mean(Token).Upper);
                return BootstrapFitTest.Of(model, fit, Sample, BuiltInLifeModels.CreateCatalog([]).Nonparametric, 99, 1, Token);
            },
            Token, TaskCreationOptions.LongRunning, TaskScheduler.Default);
        Assert.True(test.TryGet(out var made, out _));
        Assert.InRange(made.KolmogorovPValue, 0.01, 1);
        Assert.InRange(family.MostAtOnce, 1, callers);
        Assert.DoesNotContain(true, family.Pooled.Keys);
    }

    /// <summary>An exponential that says to be elsewhere and notes which threads ask it.</summary>
    private sealed class Watched(int callers) : IDistantFamily
    {
        private readonly ILifeFamily _inner = BuiltInLifeModels.CreateCatalog([]).Models.Single(m => m.Description.Id == "exponential").Family!;
        private int _now;
        private int _most;

        public int MostCallers => callers;

        public int MostAtOnce => _most;

        public ConcurrentDictionary<bool, bool> Pooled { get; } = new();

        public string Id => "watched";

        public string DisplayName => "Watched";

        public IReadOnlyList<ParameterDescription> Parameters => _inner.Parameters;

        public bool ScaleEquivariant => true;

        public IPlotScale Plot => _inner.Plot;

        public void Expect(IReadOnlyList<FamilyQuestion> questions, IReadOnlyList<double[]> members)
        {
        }

        public void LogDensity(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
        {
            Enter();
            _inner.LogDensity(parameters, hours, result);
            Interlocked.Decrement(ref _now);
        }

        public void LogSurvival(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
        {
            Enter();
            _inner.LogSurvival(parameters, hours, result);
            Interlocked.Decrement(ref _now);
        }

        public void Quantile(ReadOnlySpan<double> parameters, ReadOnlySpan<double> fractions, Span<double> result)
        {
            Enter();
            _inner.Quantile(parameters, fractions, result);
            Interlocked.Decrement(ref _now);
        }

        public double? Mean(ReadOnlySpan<double> parameters) => _inner.Mean(parameters);

        private void Enter()
        {
            Pooled[Thread.CurrentThread.IsThreadPoolThread] = true;
            var now = Interlocked.Increment(ref _now);
            for (var most = Volatile.Read(ref _most); now > most; most = Volatile.Read(ref _most))
                Interlocked.CompareExchange(ref _most, now, most);
        }
    }
}
