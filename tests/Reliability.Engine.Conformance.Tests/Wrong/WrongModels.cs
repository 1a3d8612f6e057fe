using System.Collections.Frozen;
using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Conformance.Tests;

/// <summary>Life models as authors get them wrong, each in one way.</summary>
internal static class WrongModels
{
    /// <summary>A model for each rule, made anew.</summary>
    public static IReadOnlyList<(string Rule, Func<ILifeModel> Make)> All { get; } =
    [
        ("description", () => new WithoutSource()),
        ("description", () => new SourceTooLong()),
        ("axes", () => new AxesThatDoNotLeadBack()),
        ("options-refused", () => new LevelClamped()),
        ("questions-refused", () => new PercentileOfNothing()),
        ("bounds-methods", () => new ClaimsExactBounds()),
        ("bounds-methods", () => new SilentlyOtherBounds()),
        ("fixed-parameters", () => new ClaimsToHoldTheScale()),
        ("no-failures", () => new ClaimsBoundsWithoutFailures()),
        ("counts", () => new CountsIgnored()),
        ("counts", () => new ErrorsOfRows()),
        ("row-order", () => new FirstRowDropped()),
        ("row-order", () => new BoundsOfTheLastRow()),
        ("failure-modes", () => new IncidencesAsIfAlone()),
        ("cohorts", () => new ClaimsToCompare()),
        ("predictions", () => new ClaimsToPredict()),
        ("recovery", () => new SurvivorsDropped()),
        ("late-entry", () => new EntriesIgnored()),
        ("intervals", () => new IntervalsAtTheirEnds()),
        ("standard-errors", () => new ErrorsOfLives()),
        ("standard-errors", () => new ErrorsOfHalf()),
        ("bounds-hold-truth", () => new BoundsAThirdAsWide()),
        ("typed-outcomes", () => new ThrowsOnNothing()),
        ("answers-are-numbers", () => new NaNBounds()),
        ("bounds-hold-estimate", () => new BoundsBesideTheEstimate()),
        ("texts", () => new ReasonWithoutText()),
        ("quantities-agree", () => new RemainingLifeIsTotalAge()),
        ("curve", () => new CurveInNaturalLogarithms()),
        ("likelihood", () => new LikelihoodWithoutConstant()),
        ("level", () => new LevelUnused()),
        ("scale", () => new WholeHours()),
        ("cancelled-before", () => new CancelledIsAReason()),
        ("cancelled-at-work", () => new CancellationIgnored()),
        ("cancelled-at-work", () => new WorkspaceLost()),
        ("no-state", () => new WarmStart()),
        ("many-threads", () => new ThreadsOwnTable()),
        ("many-threads", () => new UnitInAField()),
        ("seed", () => new SeedUnused()),
    ];

    private sealed class WithoutSource : AlteredModel
    {
        public override LifeModelDescription Description => base.Description with { Source = "" };
    }

    private sealed class SourceTooLong : AlteredModel
    {
        public override LifeModelDescription Description => base.Description with { Source = new string('a', 301) };
    }

    private sealed class AxesThatDoNotLeadBack : AlteredModel
    {
        public override LifeModelDescription Description => base.Description with { Plot = new AlteredPlot(Right.Description.Plot) };
    }

    private sealed class LevelClamped : AlteredModel
    {
        protected override Estimable<IFittedLife> Answer(LifeSample sample, FitOptions options, CancellationToken cancellationToken) =>
            base.Answer(sample, options with { ConfidenceLevel = Math.Min(options.ConfidenceLevel, 0.999) }, cancellationToken);
    }

    private sealed class PercentileOfNothing : AlteredModel
    {
        protected override IFittedLife Altered(IFittedLife life, LifeSample sample, FitOptions options) => new Life(life);

        private sealed class Life(IFittedLife right) : AlteredLife(right)
        {
            public override BoundedEstimate PercentileLife(double failureFraction, CancellationToken cancellationToken = default) =>
                failureFraction == 0 ? new BoundedEstimate { Value = 0 } : base.PercentileLife(failureFraction, cancellationToken);
        }
    }

    private sealed class ClaimsExactBounds : AlteredModel
    {
        protected override LifeModelCapabilities Claims => base.Claims with
        {
            BoundsMethods = FrozenSet.Create(BoundsMethod.LikelihoodRatio, BoundsMethod.NormalApproximation, BoundsMethod.Exact),
        };

        protected override Estimable<IFittedLife> Answer(LifeSample sample, FitOptions options, CancellationToken cancellationToken) =>
            options.BoundsMethod == BoundsMethod.Exact
                ? throw new UnsupportedRequestException("bounds_method", "Not available.")
                : base.Answer(sample, options, cancellationToken);
    }

    private sealed class SilentlyOtherBounds : AlteredModel
    {
        public override Estimable<IFittedLife> Fit(LifeSample sample, FitOptions options, CancellationToken cancellationToken = default) =>
            Answer(
                sample, Claims.BoundsMethods.Contains(options.BoundsMethod) ? options : options with { BoundsMethod = BoundsMethod.LikelihoodRatio },
                cancellationToken);
    }

    private sealed class ClaimsToHoldTheScale : AlteredModel
    {
        protected override LifeModelCapabilities Claims => base.Claims with
        {
            FixableParameters = FrozenSet.Create("shape", "scale"),
            BoundsWithoutFailures = false,
        };

        protected override Estimable<IFittedLife> Answer(LifeSample sample, FitOptions options, CancellationToken cancellationToken) =>
            sample.FailureCount == 0
                ? new NotEstimable(NotEstimableReasons.NoFailures, "No life has failed.")
                : base.Answer(sample, options, cancellationToken);
    }

    private sealed class ClaimsBoundsWithoutFailures : AlteredModel
    {
        protected override Estimable<IFittedLife> Answer(LifeSample sample, FitOptions options, CancellationToken cancellationToken) =>
            sample.FailureCount == 0
                ? new NotEstimable(NotEstimableReasons.NoFailures, "No life has failed.")
                : base.Answer(sample, options, cancellationToken);
    }

    /// <summary>Fits other lives than it was given, and shows no likelihood, which would tell.</summary>
    private abstract class OtherLives : AlteredModel
    {
        protected override Estimable<IFittedLife> Answer(LifeSample sample, FitOptions options, CancellationToken cancellationToken)
        {
            var builder = new LifeSampleBuilder();
            for (var i = 0; i < sample.RowCount; i++)
                Add(builder, sample, i);
            return base.Answer(builder.Build(), options, cancellationToken);
        }

        protected abstract void Add(LifeSampleBuilder builder, LifeSample sample, int i);

        protected static void AddAs(LifeSampleBuilder builder, LifeSample sample, int i, double entry, double count)
        {
            _ = sample.Outcomes[i] switch
            {
                LifeOutcome.Failed => builder.AddFailed(sample.LowerHours[i], entry, count),
                LifeOutcome.Survived => builder.AddSurvived(sample.LowerHours[i], entry, count),
                _ => builder.AddBetween(sample.LowerHours[i], sample.UpperHours[i], entry, count),
            };
        }

        protected override IFittedLife Altered(IFittedLife life, LifeSample sample, FitOptions options) => new Life(life);

        private sealed class Life(IFittedLife right) : AlteredLife(right)
        {
            public override double? LogLikelihood => null;
        }
    }

    private sealed class CountsIgnored : OtherLives
    {
        protected override void Add(LifeSampleBuilder builder, LifeSample sample, int i) => AddAs(builder, sample, i, sample.EntryHours[i], 1);
    }

    private sealed class FirstRowDropped : OtherLives
    {
        protected override LifeModelCapabilities Claims => base.Claims with { BoundsWithoutFailures = false };

        protected override void Add(LifeSampleBuilder builder, LifeSample sample, int i)
        {
            if (i > 0)
                AddAs(builder, sample, i, sample.EntryHours[i], sample.Counts[i]);
        }
    }

    /// <summary>As a jackknife that leaves out rows, which may be several lives.</summary>
    private sealed class ErrorsOfRows : AlteredModel
    {
        protected override IFittedLife Altered(IFittedLife life, LifeSample sample, FitOptions options) =>
            new OtherErrors(life, Math.Sqrt(sample.TotalCount / sample.RowCount));
    }

    /// <summary>Right estimates, and bounds that lean on where a row stands.</summary>
    private sealed class BoundsOfTheLastRow : AlteredModel
    {
        protected override IFittedLife Altered(IFittedLife life, LifeSample sample, FitOptions options) => new Life(life, sample.LowerHours[^1] / sample.OldestHours);

        private sealed class Life(IFittedLife right, double part) : AlteredLife(right)
        {
            public override BoundedEstimate PercentileLife(double failureFraction, CancellationToken cancellationToken = default)
            {
                var estimate = base.PercentileLife(failureFraction, cancellationToken);
                return estimate with { Upper = estimate.Upper * (1 + part / 10) };
            }
        }
    }

    private sealed class SurvivorsDropped : OtherLives
    {
        protected override LifeModelCapabilities Claims => base.Claims with
        {
            BoundsWithoutFailures = false,
            SupportsIntervals = false,
            SupportsLateEntry = false,
        };

        protected override Estimable<IFittedLife> Answer(LifeSample sample, FitOptions options, CancellationToken cancellationToken) =>
            sample.HasIntervals || sample.HasLateEntry
                ? new NotEstimable(NotEstimableReasons.LateEntry, "Not such lives.")
                : base.Answer(sample, options, cancellationToken);

        protected override void Add(LifeSampleBuilder builder, LifeSample sample, int i)
        {
            if (sample.Outcomes[i] != LifeOutcome.Survived)
                AddAs(builder, sample, i, sample.EntryHours[i], sample.Counts[i]);
        }
    }

    private sealed class EntriesIgnored : OtherLives
    {
        protected override void Add(LifeSampleBuilder builder, LifeSample sample, int i) => AddAs(builder, sample, i, 0, sample.Counts[i]);
    }

    /// <summary>As if lives had failed when they were found to have.</summary>
    private sealed class IntervalsAtTheirEnds : OtherLives
    {
        protected override void Add(LifeSampleBuilder builder, LifeSample sample, int i)
        {
            if (sample.Outcomes[i] == LifeOutcome.Between)
                builder.AddFailed(sample.UpperHours[i], sample.EntryHours[i], sample.Counts[i]);
            else
                AddAs(builder, sample, i, sample.EntryHours[i], sample.Counts[i]);
        }
    }

    /// <summary>Ages are entered in whole hours begun.</summary>
    private sealed class WholeHours : OtherLives
    {
        protected override void Add(LifeSampleBuilder builder, LifeSample sample, int i)
        {
            var (lower, upper) = (Math.Ceiling(sample.LowerHours[i]), Math.Ceiling(sample.UpperHours[i]));
            _ = sample.Outcomes[i] switch
            {
                LifeOutcome.Failed => builder.AddFailed(lower, sample.EntryHours[i], sample.Counts[i]),
                LifeOutcome.Survived => builder.AddSurvived(lower, sample.EntryHours[i], sample.Counts[i]),
                _ => builder.AddBetween(lower, upper, sample.EntryHours[i], sample.Counts[i]),
            };
        }
    }

    /// <summary>Each mode as if no life failed of another before.</summary>
    private sealed class IncidencesAsIfAlone : AlteredModel
    {
        protected override ILifeModel Right { get; } = BuiltIns.Model("weibull-competing");

        protected override LifeModelCapabilities Claims => Right.Description.Capabilities;

        protected override IFittedLife Altered(IFittedLife life, LifeSample sample, FitOptions options) => new Life(life);

        private sealed class Life(IFittedLife right) : AlteredLife(right), IFittedLife
        {
            public IReadOnlyList<IFittedMode> Modes => [.. Right.Modes.Select(mode => new Alone(mode))];
        }

        private sealed class Alone(IFittedMode right) : IFittedMode
        {
            public string Name => right.Name;

            public bool IsUnknown => right.IsUnknown;

            public double FailureCount => right.FailureCount;

            public IFittedLife Life => right.Life;

            public double Incidence(double hours, CancellationToken cancellationToken = default) =>
                1 - right.Life.Reliability(hours, cancellationToken).Value!.Value;
        }
    }

    private sealed class ClaimsToCompare : AlteredModel
    {
        protected override LifeModelCapabilities Claims => base.Claims with { ComparesCohorts = true };
    }

    private sealed class ClaimsToPredict : AlteredModel
    {
        protected override LifeModelCapabilities Claims => base.Claims with { PredictsLives = true };
    }

    /// <summary>The spread of lives in place of that of their estimates.</summary>
    private sealed class ErrorsOfLives : AlteredModel
    {
        protected override IFittedLife Altered(IFittedLife life, LifeSample sample, FitOptions options) => new OtherErrors(life, Math.Sqrt(sample.TotalCount));
    }

    /// <summary>As if there were four times as many lives.</summary>
    private sealed class ErrorsOfHalf : AlteredModel
    {
        protected override IFittedLife Altered(IFittedLife life, LifeSample sample, FitOptions options) => new OtherErrors(life, 0.5);
    }

    private sealed class BoundsAThirdAsWide : AlteredModel
    {
        protected override IFittedLife Altered(IFittedLife life, LifeSample sample, FitOptions options) => new Life(life);

        private sealed class Life(IFittedLife right) : AlteredLife(right)
        {
            public override BoundedEstimate PercentileLife(double failureFraction, CancellationToken cancellationToken = default)
            {
                var estimate = base.PercentileLife(failureFraction, cancellationToken);
                return estimate with
                {
                    Lower = estimate.Value is { } at ? at + (estimate.Lower - at) / 3 : estimate.Lower,
                    Upper = estimate.Value is { } centre ? centre + (estimate.Upper - centre) / 3 : estimate.Upper,
                };
            }
        }
    }

    /// <summary>Standard errors of parameters off by a factor.</summary>
    private sealed class OtherErrors(IFittedLife right, double factor) : AlteredLife(right)
    {
        public override IReadOnlyList<ParameterEstimate> Parameters =>
            [.. Right.Parameters.Select(p => p with { Estimate = p.Estimate with { StandardError = p.Estimate.StandardError * factor } })];
    }

    private sealed class ThrowsOnNothing : AlteredModel
    {
        protected override Estimable<IFittedLife> Answer(LifeSample sample, FitOptions options, CancellationToken cancellationToken) =>
            sample.RowCount == 0 ? throw new InvalidOperationException("Sequence contains no elements") : base.Answer(sample, options, cancellationToken);
    }

    private sealed class NaNBounds : AlteredModel
    {
        protected override IFittedLife Altered(IFittedLife life, LifeSample sample, FitOptions options) => new Life(life);

        private sealed class Life(IFittedLife right) : AlteredLife(right)
        {
            public override BoundedEstimate PercentileLife(double failureFraction, CancellationToken cancellationToken = default) =>
                failureFraction < 1e-4
                    ? base.PercentileLife(failureFraction, cancellationToken) with { Upper = double.NaN }
                    : base.PercentileLife(failureFraction, cancellationToken);
        }
    }

    private sealed class BoundsBesideTheEstimate : AlteredModel
    {
        protected override IFittedLife Altered(IFittedLife life, LifeSample sample, FitOptions options) =>
            options.BoundsMethod == BoundsMethod.LikelihoodRatio ? new Life(life) : life;

        private sealed class Life(IFittedLife right) : AlteredLife(right)
        {
            public override BoundedEstimate PercentileLife(double failureFraction, CancellationToken cancellationToken = default)
            {
                var estimate = base.PercentileLife(failureFraction, cancellationToken);
                return estimate with { Lower = estimate.Value * 1.01 };
            }
        }
    }

    private sealed class ReasonWithoutText : AlteredModel
    {
        protected override Estimable<IFittedLife> Answer(LifeSample sample, FitOptions options, CancellationToken cancellationToken) =>
            sample.RowCount == 0 ? new NotEstimable(NotEstimableReasons.NoObservations, "") : base.Answer(sample, options, cancellationToken);
    }

    private sealed class RemainingLifeIsTotalAge : AlteredModel
    {
        protected override IFittedLife Altered(IFittedLife life, LifeSample sample, FitOptions options) => new Life(life);

        private sealed class Life(IFittedLife right) : AlteredLife(right)
        {
            public override BoundedEstimate RemainingLife(double ageHours, double failureFraction, CancellationToken cancellationToken = default)
            {
                var estimate = base.RemainingLife(ageHours, failureFraction, cancellationToken);
                return estimate with { Value = estimate.Value + ageHours, Lower = estimate.Lower + ageHours, Upper = estimate.Upper + ageHours };
            }
        }
    }

    private sealed class CurveInNaturalLogarithms : AlteredModel
    {
        protected override IFittedLife Altered(IFittedLife life, LifeSample sample, FitOptions options) => new Life(life);

        private sealed class Life(IFittedLife right) : AlteredLife(right)
        {
            public override IReadOnlyList<PlotPoint> Curve(IReadOnlyList<double> hours, CancellationToken cancellationToken = default) =>
                [.. base.Curve(hours, cancellationToken).Select(p => p with { AxisHours = Math.Log(p.Hours) })];
        }
    }

    private sealed class LikelihoodWithoutConstant : AlteredModel
    {
        protected override IFittedLife Altered(IFittedLife life, LifeSample sample, FitOptions options) => new Life(life);

        private sealed class Life(IFittedLife right) : AlteredLife(right)
        {
            public override double? LogLikelihood => Right.LogLikelihood + 1;
        }
    }

    private sealed class LevelUnused : AlteredModel
    {
        protected override Estimable<IFittedLife> Answer(LifeSample sample, FitOptions options, CancellationToken cancellationToken) =>
            base.Answer(sample, options.ConfidenceLevel is > 0 and < 1 ? options with { ConfidenceLevel = 0.9 } : options, cancellationToken);

        protected override IFittedLife Altered(IFittedLife life, LifeSample sample, FitOptions options) => life;
    }

    private sealed class CancelledIsAReason : AlteredModel
    {
        protected override Estimable<IFittedLife> Answer(LifeSample sample, FitOptions options, CancellationToken cancellationToken) =>
            cancellationToken.IsCancellationRequested ? new NotEstimable("CANCELLED", "It was cancelled.") : base.Answer(sample, options, cancellationToken);
    }

    private sealed class CancellationIgnored : AlteredModel
    {
        protected override Estimable<IFittedLife> Answer(LifeSample sample, FitOptions options, CancellationToken cancellationToken)
        {
            cancellationToken.ThrowIfCancellationRequested();
            return base.Answer(sample, options, CancellationToken.None);
        }
    }

    /// <summary>Does not give its workspace back when it is cancelled, and makes a new one only after somebody has met that.</summary>
    private sealed class WorkspaceLost : AlteredModel
    {
        private int _isLost;

        protected override Estimable<IFittedLife> Answer(LifeSample sample, FitOptions options, CancellationToken cancellationToken)
        {
            cancellationToken.ThrowIfCancellationRequested();
            if (Interlocked.Exchange(ref _isLost, 0) == 1)
                throw new InvalidOperationException("The workspace is in use.");
            try
            {
                return base.Answer(sample, options, cancellationToken);
            }
            catch (OperationCanceledException)
            {
                _isLost = 1;
                throw;
            }
        }
    }

    /// <summary>Begins where the last fit on this thread ended, and stops when twelve digits stand.</summary>
    private sealed class WarmStart : AlteredModel
    {
        [ThreadStatic]
        private static double _lastOldest;

        protected override IFittedLife Altered(IFittedLife life, LifeSample sample, FitOptions options)
        {
            var off = 1e-13 * Math.Tanh(_lastOldest / sample.OldestHours - 1);
            _lastOldest = sample.OldestHours;
            return new Off(life, off);
        }
    }

    /// <summary>A table that only the thread has on which the model was made.</summary>
    private sealed class ThreadsOwnTable : AlteredModel
    {
        private readonly int _thread = Environment.CurrentManagedThreadId;

        protected override IFittedLife Altered(IFittedLife life, LifeSample sample, FitOptions options) =>
            new Off(life, Environment.CurrentManagedThreadId == _thread ? 0 : 1e-13);
    }

    /// <summary>Fits in units of the oldest age, and keeps the unit in a field until the answer is brought back to hours: right on one thread.</summary>
    private sealed class UnitInAField : AlteredModel
    {
        private double _unit;

        protected override Estimable<IFittedLife> Answer(LifeSample sample, FitOptions options, CancellationToken cancellationToken)
        {
            _unit = sample.OldestHours;
            return base.Answer(sample, options, cancellationToken);
        }

        protected override IFittedLife Altered(IFittedLife life, LifeSample sample, FitOptions options) => new Off(life, _unit / sample.OldestHours - 1);
    }

    /// <summary>Percentiles off by a small part.</summary>
    private sealed class Off(IFittedLife right, double part) : AlteredLife(right)
    {
        public override BoundedEstimate PercentileLife(double failureFraction, CancellationToken cancellationToken = default)
        {
            var estimate = base.PercentileLife(failureFraction, cancellationToken);
            return estimate with { Value = estimate.Value * (1 + part) };
        }
    }

    private sealed class SeedUnused : AlteredModel
    {
        protected override LifeModelCapabilities Claims => base.Claims with
        {
            BoundsMethods = FrozenSet.Create(BoundsMethod.LikelihoodRatio, BoundsMethod.NormalApproximation, BoundsMethod.Bootstrap),
        };

        protected override Estimable<IFittedLife> Answer(LifeSample sample, FitOptions options, CancellationToken cancellationToken) =>
            base.Answer(sample, options with { Seed = 1 }, cancellationToken);
    }
}
