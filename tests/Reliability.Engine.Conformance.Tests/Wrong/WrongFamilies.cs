using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Conformance.Tests;

/// <summary>Families as authors get them wrong, each in one way.</summary>
internal static class WrongFamilies
{
    /// <summary>A family for each rule, made anew.</summary>
    public static IReadOnlyList<(string Rule, Func<ILifeFamily> Make)> All { get; } =
    [
        ("description", () => new CapitalId()),
        ("description", () => new IdTooLong()),
        ("domains", () => new LogScaleWithUpperEnd()),
        ("axes", () => new AxesThatDoNotLeadBack()),
        ("survival-falls", () => new TailThatRises()),
        ("density-integrates", () => new DensityNotNormalised()),
        ("quantile-inverts", () => new QuantileOfSixDigits()),
        ("quantile-inverts", () => new QuantileThatGoesBack()),
        ("derivatives", () => new DerivativesWrongFarOut()),
        ("mean", () => new MeanThatIsTheScale()),
        ("mean-remaining", () => new MeanRemainingOfTheNew()),
        ("extreme-inputs", () => new NaNNearZeroHours()),
        ("extreme-inputs", () => new NaNAtGreatShapes()),
        ("batches", () => new LastOfABatch()),
        ("no-state", () => new QuantileFromTheLastOne()),
        ("many-threads", () => new TableOfOneThread()),
        ("many-threads", () => new ParametersInAField()),
        ("starts", () => new StartsOutside()),
        ("recovery", () => new ConstantByHand()),
        ("bounds", () => new MeanOfATable()),
        ("scale", () => new HiddenHour()),
        ("special-cases", () => new SpecialCaseOfItsLike()),
    ];

    private sealed class CapitalId : AlteredFamily
    {
        public override string Id => "My Weibull";
    }

    private sealed class IdTooLong : AlteredFamily
    {
        public override string Id => new('a', 64);
    }

    private sealed class LogScaleWithUpperEnd : AlteredFamily
    {
        public override IReadOnlyList<ParameterDescription> Parameters =>
            [new("shape", "", 0, 1000, ParameterTransform.Log), Right.Parameters[1]];
    }

    private sealed class AxesThatDoNotLeadBack : AlteredFamily
    {
        public override IPlotScale Plot => new AlteredPlot(Right.Plot);
    }

    /// <summary>Two branches that do not meet: where little is left, R grows again.</summary>
    private sealed class TailThatRises : AlteredFamily
    {
        public override void LogSurvival(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
        {
            Right.LogSurvival(parameters, hours, result);
            for (var i = 0; i < result.Length; i++)
                result[i] = result[i] < -60 ? -60 + Math.Min(5, (-60 - result[i]) / 10) : result[i];
        }
    }

    private sealed class DensityNotNormalised : AlteredFamily
    {
        public override void LogDensity(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
        {
            Right.LogDensity(parameters, hours, result);
            for (var i = 0; i < result.Length; i++)
                result[i] -= 0.1;
        }
    }

    private sealed class QuantileOfSixDigits : AlteredFamily
    {
        public override void Quantile(ReadOnlySpan<double> parameters, ReadOnlySpan<double> fractions, Span<double> result)
        {
            Right.Quantile(parameters, fractions, result);
            for (var i = 0; i < result.Length; i++)
                result[i] *= 1 + 1e-6;
        }
    }

    private sealed class QuantileThatGoesBack : AlteredFamily
    {
        public override void Quantile(ReadOnlySpan<double> parameters, ReadOnlySpan<double> fractions, Span<double> result)
        {
            double[] turned = [.. fractions.ToArray().Select(p => p > 0.995 ? 1.99 - p : p)];
            Right.Quantile(parameters, turned, result);
        }
    }

    /// <summary>Right but in the branch for great ages.</summary>
    private sealed class DerivativesWrongFarOut : AlteredFamily, IFamilyDerivatives
    {
        public void LogDensityDerivatives(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
        {
            LogSurvivalDerivatives(parameters, hours, result);
            for (var i = 0; i < hours.Length; i++)
            {
                var log = Math.Log(hours[i] / parameters[1]);
                result[2 * i] += 1 / parameters[0] + log;
                result[2 * i + 1] -= parameters[0] / parameters[1];
                if (Math.Pow(hours[i] / parameters[1], parameters[0]) > 7)
                    result[2 * i] *= 1.01;
            }
        }

        public void LogSurvivalDerivatives(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
        {
            for (var i = 0; i < hours.Length; i++)
            {
                var log = Math.Log(hours[i] / parameters[1]);
                var hazard = Math.Exp(parameters[0] * log);
                result[2 * i] = -hazard * log;
                result[2 * i + 1] = hazard * parameters[0] / parameters[1];
            }
        }
    }

    private sealed class MeanThatIsTheScale : AlteredFamily
    {
        public override double? Mean(ReadOnlySpan<double> parameters) => parameters[1];
    }

    /// <summary>As if lives had no memory.</summary>
    private sealed class MeanRemainingOfTheNew : AlteredFamily
    {
        public override double? MeanRemaining(ReadOnlySpan<double> parameters, double ageHours) => Right.Mean(parameters);
    }

    private sealed class NaNNearZeroHours : AlteredFamily
    {
        public override void LogDensity(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
        {
            Right.LogDensity(parameters, hours, result);
            for (var i = 0; i < result.Length; i++)
                result[i] = hours[i] < 1e-200 ? double.NaN : result[i];
        }
    }

    private sealed class NaNAtGreatShapes : AlteredFamily
    {
        public override void LogSurvival(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
        {
            Right.LogSurvival(parameters, hours, result);
            if (parameters[0] > 1e6)
                result.Fill(double.NaN);
        }
    }

    /// <summary>Four at a time, and what is left over with fewer digits.</summary>
    private sealed class LastOfABatch : AlteredFamily
    {
        public override void LogDensity(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
        {
            Right.LogDensity(parameters, hours, result);
            if (result.Length > 4 && result.Length % 4 != 0)
                result[^1] *= 1 + 1e-10;
        }
    }

    /// <summary>An iteration that begins where the last one on this thread ended, and stops when twelve digits stand.</summary>
    private sealed class QuantileFromTheLastOne : AlteredFamily
    {
        [ThreadStatic]
        private static double _lastScale;

        public override void Quantile(ReadOnlySpan<double> parameters, ReadOnlySpan<double> fractions, Span<double> result)
        {
            Right.Quantile(parameters, fractions, result);
            for (var i = 0; i < result.Length; i++)
                result[i] *= 1 + 1e-13 * Math.Tanh(_lastScale / parameters[1] - 1);
            _lastScale = parameters[1];
        }
    }

    /// <summary>A table that only the thread has on which the family was made.</summary>
    private sealed class TableOfOneThread : AlteredFamily
    {
        private readonly int _thread = Environment.CurrentManagedThreadId;

        public override void LogSurvival(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
        {
            Right.LogSurvival(parameters, hours, result);
            if (Environment.CurrentManagedThreadId == _thread)
                return;
            for (var i = 0; i < result.Length; i++)
                result[i] *= 1 + 1e-13;
        }
    }

    /// <summary>Right on one thread; on two the parameters are those of whoever came last.</summary>
    private sealed class ParametersInAField : AlteredFamily
    {
        private double[] _parameters = [];

        public override void LogDensity(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
        {
            _parameters = parameters.ToArray();
            for (var i = 0; i < hours.Length; i++)
                Right.LogDensity(_parameters, hours.Slice(i, 1), result.Slice(i, 1));
        }

        public override void LogSurvival(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
        {
            _parameters = parameters.ToArray();
            for (var i = 0; i < hours.Length; i++)
                Right.LogSurvival(_parameters, hours.Slice(i, 1), result.Slice(i, 1));
        }
    }

    private sealed class StartsOutside : AlteredFamily
    {
        public override IReadOnlyList<double[]> Starts(LifeSample sample) => [[1, -sample.OldestHours], [1, sample.OldestHours]];
    }

    /// <summary>A norming constant that was adjusted until the members at hand came right, and is wrong between them: fits are drawn there.</summary>
    private sealed class ConstantByHand : AlteredFamily
    {
        public override void LogDensity(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
        {
            Right.LogDensity(parameters, hours, result);
            for (var i = 0; i < result.Length; i++)
                result[i] -= 0.4 * (parameters[0] - 1.7) * (parameters[0] - 3);
        }
    }

    /// <summary>A mean that was tabulated for the shapes that were thought of.</summary>
    private sealed class MeanOfATable : AlteredFamily
    {
        public override double? Mean(ReadOnlySpan<double> parameters) =>
            parameters[0] is > 0.1 and < 1.6 ? throw new KeyNotFoundException("The shape is not in the table.") : Right.Mean(parameters);
    }

    /// <summary>A distribution that is right, log(1 + t) being Weibull, but knows what an hour is.</summary>
    private sealed class HiddenHour : AlteredFamily
    {
        public override IReadOnlyList<ParameterDescription> Parameters { get; } =
            [ParameterDescription.Positive("shape"), ParameterDescription.Positive("scale")];

        public override void LogDensity(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
        {
            Right.LogDensity(parameters, Logs(hours), result);
            for (var i = 0; i < result.Length; i++)
                result[i] -= Tails.Log1p(hours[i]);
        }

        public override void LogSurvival(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result) =>
            Right.LogSurvival(parameters, Logs(hours), result);

        public override void Quantile(ReadOnlySpan<double> parameters, ReadOnlySpan<double> fractions, Span<double> result)
        {
            Right.Quantile(parameters, fractions, result);
            for (var i = 0; i < result.Length; i++)
                result[i] = Tails.Expm1(result[i]);
        }

        public override double? Mean(ReadOnlySpan<double> parameters) => null;

        private static double[] Logs(ReadOnlySpan<double> hours) => [.. hours.ToArray().Select(Tails.Log1p)];
    }

    private sealed class SpecialCaseOfItsLike : AlteredFamily
    {
        public override IReadOnlyList<string> SpecialCaseOf => ["lognormal"];
    }
}
