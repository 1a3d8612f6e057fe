using Reliability.Engine.Abstractions;
using Reliability.Engine.LocationScale;
using Reliability.Engine.Prediction;

namespace Reliability.Studies.Prediction;

/// <summary>
/// How often the life of one more unit ends before each predicted quantile. Units are drawn by strata of their chance, so that the
/// tails are seen well with few of them.
/// </summary>
internal static class PredictionStudy
{
    /// <summary>Ages of the predicted unit, in median lives.</summary>
    public static readonly double[] Ages = [0.2, 0.5, 1, 1.5];

    /// <summary>Quantiles that are asked for.</summary>
    public static readonly double[] Levels = [0.025, 0.05, 0.1, 0.5, 0.9, 0.95, 0.975];

    private static readonly double[] Strata = [0, 0.0125, 0.025, 0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95, 0.975, 0.9875, 1];

    /// <summary>Runs one cell.</summary>
    public static IReadOnlyList<CellResult> Run(PredictionCell cell, int samples, ulong seed)
    {
        var random = new SplitMix(seed ^ Hash(cell.Id));
        var simulated = new SimulatedLives(cell);
        var methods = PredictionMethod.In(cell);
        var tallies = methods.Select(_ => Ages.Select(_ => new Tally()).ToArray()).ToArray();
        var none = new int[methods.Count];
        var warned = 0;
        for (var i = 0; i < samples; i++)
        {
            var sample = simulated.Draw(random);
            var units = Ages.Select(age => Strata.Zip(Strata.Skip(1), (from, to) =>
            {
                var chance = from + (to - from) * random.Next();
                return (Weight: to - from, Further: cell.AgeAt(cell.Survival(age) * (1 - chance)) - age);
            }).ToArray()).ToArray();
            var predicted = Predict(cell, sample, methods);
            warned += PredictionWarnings.Of([sample]).Count > 0 && predicted.Any(p => p is not null) ? 1 : 0;
            for (var m = 0; m < methods.Count; m++)
            {
                if (predicted[m] is not { } failed)
                {
                    none[m]++;
                    continue;
                }

                for (var a = 0; a < Ages.Length; a++)
                {
                    var shares = new double[Levels.Length];
                    foreach (var (weight, further) in units[a])
                    {
                        var chance = failed(Ages[a], further);
                        for (var l = 0; l < Levels.Length; l++)
                            shares[l] += chance <= Levels[l] ? weight : 0;
                    }

                    tallies[m][a].Add(shares);
                }
            }
        }

        return
        [
            .. from m in Enumerable.Range(0, methods.Count)
               from a in Enumerable.Range(0, Ages.Length)
               select new CellResult(cell.Id, methods[m].Name, Ages[a], samples, seed, none[m], tallies[m][a].Mean, tallies[m][a].Error, warned),
        ];
    }

    /// <summary>For each method, the predicted chance of failing within further hours; null where there is no prediction.</summary>
    private static Func<double, double, double>?[] Predict(PredictionCell cell, LifeSample sample, IReadOnlyList<PredictionMethod> methods)
    {
        LogTimeLikelihood likelihood = cell.Family switch
        {
            LifeFamily.Lognormal => LogTimeLikelihood.Create<StandardNormal>(sample),
            LifeFamily.Loglogistic => LogTimeLikelihood.Create<StandardLogistic>(sample),
            _ => LogTimeLikelihood.Create<SmallestExtremeValue>(sample),
        };
        if (sample.FailureCount < 2 || Estimability.OfBothParameters(sample) is not null
            || !Maximiser.Maximise(likelihood, CancellationToken.None).TryGet(out var fit, out _))
            return new Func<double, double, double>?[methods.Count];
        var lean = PriorTilt.Of(sample, likelihood.Sample.Axis, likelihood.Distribution, Termination.Unspecified, fit.U, fit.V);
        return [.. methods.Select(method =>
        {
            if (method.Tilt is null)
            {
                return (age, further) =>
                {
                    double LogSurvival(double at) => likelihood.Distribution.LogSurvival(fit.U * likelihood.Sample.Axis.ToX(at) + fit.V);
                    return 1 - Math.Exp(LogSurvival(age + further) - LogSurvival(age));
                };
            }

            return LocationScalePredictor.Predict([(likelihood, sample)], Termination.Unspecified, method.Tilt(lean.Shape, sample.SurvivedCount / sample.TotalCount), CancellationToken.None)
                .TryGet(out var life, out _)
                ? (Func<double, double, double>)((age, further) => 1 - life.Survival(age, Math.Max(0, further)))
                : null;
        })];
    }

    private static ulong Hash(string text)
    {
        // FNV-1a.
        var hash = 14695981039346656037;
        foreach (var c in text)
            hash = unchecked((hash ^ c) * 1099511628211);
        return hash;
    }

    private sealed class Tally
    {
        private readonly double[] _sum = new double[Levels.Length], _squares = new double[Levels.Length];
        private int _count;

        public double[] Mean => [.. _sum.Select(s => s / _count)];

        public double[] Error => [.. _sum.Select((s, l) => Math.Sqrt(Math.Max(0, _squares[l] / _count - s / _count * (s / _count)) / _count))];

        public void Add(double[] shares)
        {
            _count++;
            for (var l = 0; l < shares.Length; l++)
            {
                _sum[l] += shares[l];
                _squares[l] += shares[l] * shares[l];
            }
        }
    }
}
