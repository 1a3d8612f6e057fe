using Reliability.Engine.Abstractions;
using Reliability.Engine.Families;

namespace Reliability.Engine.PlugIns.Guarding;

/// <summary>
/// A plugged-in family whose every answer is checked: never NaN, reliability between 0 and 1, quantiles that do not go back. What it says
/// of itself is read once. The checks look at each number once and keep nothing.
/// </summary>
internal class GuardedFamily : ILifeFamily
{
    // R above 1 by rounding is 1.
    private const double Rounding = 1e-9;
    private readonly ILifeFamily _inner;
    private readonly Batch _logDensity, _logSurvival, _quantile;

    private GuardedFamily(ILifeFamily inner)
    {
        _inner = inner;
        (_logDensity, _logSurvival, _quantile) = (inner.LogDensity, inner.LogSurvival, inner.Quantile);
        Id = inner.Id;
        DisplayName = inner.DisplayName;
        Parameters = [.. inner.Parameters];
        ScaleEquivariant = inner.ScaleEquivariant;
        HasNegativeLives = inner.HasNegativeLives;
        SpecialCaseOf = [.. inner.SpecialCaseOf];
        BorderCaseOf = [.. inner.BorderCaseOf];
        Guard = new Guard(Id);
        Plot = new GuardedPlotScale(inner.Plot, Guard);
    }

    /// <summary>A question about many ages or fractions at once.</summary>
    private delegate void Batch(ReadOnlySpan<double> parameters, ReadOnlySpan<double> arguments, Span<double> result);

    /// <summary>Guards a family; its derivatives too, where it has them, and the ways of one in another process.</summary>
    /// <param name="inner">The plugged-in family. What its properties throw passes.</param>
    public static ILifeFamily Of(ILifeFamily inner) => inner switch
    {
        GuardedFamily => inner,
        IFamilyDerivatives derivatives => new WithDerivatives(inner, derivatives),
        IDistantFamily distant => new Distant(distant),
        _ => new GuardedFamily(inner),
    };

    public string Id { get; }

    public string DisplayName { get; }

    public IReadOnlyList<ParameterDescription> Parameters { get; }

    public bool ScaleEquivariant { get; }

    public IPlotScale Plot { get; }

    public bool HasNegativeLives { get; }

    public IReadOnlyList<string> SpecialCaseOf { get; }

    public IReadOnlyList<string> BorderCaseOf { get; }

    protected Guard Guard { get; }

    public IReadOnlyList<double[]> Starts(LifeSample sample)
    {
        var starts = Guard.Run("starts", () => _inner.Starts(sample));
        foreach (var start in starts)
        {
            if (start is null || start.Length != Parameters.Count)
                throw Guard.Failed($"a start has not {Parameters.Count} parameters");
            for (var k = 0; k < start.Length; k++)
            {
                if (!Parameters[k].Allows(start[k]))
                    throw Guard.Failed($"a start has {Parameters[k].Name} {Guard.Text(start[k])}, outside of its domain");
            }
        }

        return starts;
    }

    public void LogDensity(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
    {
        Answered("log density", _logDensity, parameters, hours, result);

        for (var i = 0; i < result.Length; i++)
        {
            if (!(result[i] < double.PositiveInfinity))
                throw At("log density", result[i], hours[i], "h", parameters);
        }
    }

    public void LogSurvival(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
    {
        Answered("log survival", _logSurvival, parameters, hours, result);

        for (var i = 0; i < result.Length; i++)
        {
            if (result[i] <= 0)
                continue;
            if (!(result[i] <= Rounding))
                throw At("log survival", result[i], hours[i], "h", parameters);
            result[i] = 0;
        }
    }

    public void Quantile(ReadOnlySpan<double> parameters, ReadOnlySpan<double> fractions, Span<double> result)
    {
        Answered("quantile", _quantile, parameters, fractions, result);

        for (var i = 0; i < result.Length; i++)
        {
            if (double.IsNaN(result[i]) || (result[i] < 0 && !HasNegativeLives))
                throw At("quantile", result[i], fractions[i], "failed", parameters);
            if (i > 0 && fractions[i] > fractions[i - 1] && result[i] < result[i - 1])
                throw Guard.Failed($"its quantile goes back, from {Guard.Text(result[i - 1])} h at {Guard.Text(fractions[i - 1])} failed to {Guard.Text(result[i])} h at {Guard.Text(fractions[i])}");
        }
    }

    public double? Mean(ReadOnlySpan<double> parameters)
    {
        try
        {
            var mean = _inner.Mean(parameters);
            return mean is { } hours && (double.IsNaN(hours) || (hours < 0 && !HasNegativeLives)) ? throw At("mean", hours, null, "", parameters) : mean;
        }
        catch (Exception e) when (Guard.Becomes(e, "mean", default) is { } failure)
        {
            throw failure;
        }
    }

    public double? MeanRemaining(ReadOnlySpan<double> parameters, double ageHours)
    {
        try
        {
            var mean = _inner.MeanRemaining(parameters, ageHours);
            return mean is { } hours && !(hours >= 0) ? throw At("mean remaining life", hours, ageHours, "h", parameters) : mean;
        }
        catch (Exception e) when (Guard.Becomes(e, "mean remaining life", default) is { } failure)
        {
            throw failure;
        }
    }

    /// <summary>A member of the family, looked at once from end to end: its quantiles rise and lead back to their fractions.</summary>
    /// <param name="parameters">The parameters.</param>
    public void Probe(ReadOnlySpan<double> parameters)
    {
        ReadOnlySpan<double> fractions = [0.01, 0.1, 0.25, 0.5, 0.75, 0.9, 0.99];
        Span<double> hours = stackalloc double[fractions.Length];
        Span<double> logs = stackalloc double[fractions.Length];
        Quantile(parameters, fractions, hours);
        for (var i = 0; i < fractions.Length; i++)
        {
            // Beyond the range of numbers, or at an age that cannot be, there is nothing to look at.
            if (!double.IsFinite(hours[i]) || hours[i] <= 0)
                continue;
            LogSurvival(parameters, hours.Slice(i, 1), logs.Slice(i, 1));
            if (Math.Abs(1 - Math.Exp(logs[i]) - fractions[i]) > 1e-3)
            {
                throw Guard.Failed(
                    $"its quantile of {Guard.Text(fractions[i])} is {Guard.Text(hours[i])} h, where its survival says that {Guard.Text(1 - Math.Exp(logs[i]))} have failed");
            }
        }
    }

    /// <summary>Has the plug-in fill the result. What it leaves out is NaN.</summary>
    private void Answered(
        string what, Batch ask, ReadOnlySpan<double> parameters, ReadOnlySpan<double> arguments, Span<double> result)
    {
        result.Fill(double.NaN);
        try
        {
            ask(parameters, arguments, result);
        }
        catch (Exception e) when (Guard.Becomes(e, what, default) is { } failure)
        {
            throw failure;
        }
    }

    private LifeModelFailedException At(string what, double answer, double? argument, string unit, ReadOnlySpan<double> parameters)
    {
        var names = new string[parameters.Length];
        for (var k = 0; k < names.Length; k++)
            names[k] = $"{(k < Parameters.Count ? Parameters[k].Name : "?")} {Guard.Text(parameters[k])}";
        var at = argument is { } x ? $" at {Guard.Text(x)} {unit}" : "";
        return Guard.Failed($"its {what}{at} is {Guard.Text(answer)}, for {string.Join(", ", names)}");
    }

    /// <summary>In another process.</summary>
    private sealed class Distant(IDistantFamily inner) : GuardedFamily(inner), IDistantFamily
    {
        public int MostCallers => inner.MostCallers;

        public void Expect(IReadOnlyList<FamilyQuestion> questions, IReadOnlyList<double[]> members) => Guard.Run("answers", () =>
        {
            inner.Expect(questions, members);
            return true;
        });
    }

    /// <summary>With derivatives, of which only exceptions matter: the engine looks at the numbers itself and takes differences where they are not finite.</summary>
    private sealed class WithDerivatives(ILifeFamily inner, IFamilyDerivatives derivatives) : GuardedFamily(inner), IFamilyDerivatives
    {
        private readonly Batch _logDensityDerivatives = derivatives.LogDensityDerivatives, _logSurvivalDerivatives = derivatives.LogSurvivalDerivatives;

        public void LogDensityDerivatives(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result) =>
            Answered("derivatives of the log density", _logDensityDerivatives, parameters, hours, result);

        public void LogSurvivalDerivatives(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result) =>
            Answered("derivatives of the log survival", _logSurvivalDerivatives, parameters, hours, result);
    }
}
