using Google.Protobuf.Collections;
using Reliability.Engine.Abstractions;
using Reliability.PlugIn.V1;

namespace Reliability.Engine.Remote.Models;

/// <summary>A family that a remote plug-in evaluates. Each method is one call or, for more numbers than a message may hold, some.</summary>
internal sealed class RemoteFamily : ILifeFamily
{
    private const int MostNumbers = 60_000;
    private const string LogReliabilities = "log reliabilities";

    private readonly RemotePlugIn _plugIn;
    private readonly FamilyDescription _description;

    /// <param name="plugIn">The plug-in to ask.</param>
    /// <param name="description">What it says of the family, checked.</param>
    /// <param name="parameters">Its parameters.</param>
    /// <param name="axes">Its axes.</param>
    public RemoteFamily(
        RemotePlugIn plugIn, FamilyDescription description, Abstractions.ParameterDescription[] parameters, RemoteAxes axes)
    {
        (_plugIn, _description, Parameters) = (plugIn, description, parameters);
        Plot = axes.Fraction == FractionScale.Own
            ? new OwnPlotScale(this, axes)
            : new CustomaryPlotScale(axes);
    }

    public string Id => _description.Id;

    public string DisplayName => _description.DisplayName;

    public IReadOnlyList<Abstractions.ParameterDescription> Parameters { get; }

    public bool ScaleEquivariant => _description.ScaleEquivariant;

    public bool HasNegativeLives => _description.HasNegativeLives;

    public IReadOnlyList<string> SpecialCaseOf => _description.SpecialCaseOf;

    public IReadOnlyList<string> BorderCaseOf => _description.BorderCaseOf;

    public IPlotScale Plot { get; }

    public void LogDensity(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
    {
        var ahead = hours.Length <= MostNumbers ? SurvivalAhead.Of(this) : null;
        for (var start = 0; start < hours.Length; start += MostNumbers)
        {
            var batch = At(parameters);
            AddTo(batch.DensityHours, Part(hours, start));
            AddTo(batch.SurvivalHours, ahead is null ? [] : ahead.Expected);
            var answer = Evaluate(batch);
            Take(answer.LogDensities, Part(result, start), "log densities");
            ahead?.Keep(parameters, expected => Take(answer.LogSurvivals, expected, LogReliabilities));
        }

        ahead?.Density(parameters);
    }

    public void LogSurvival(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
    {
        if (SurvivalAhead.Of(this).TryTake(parameters, hours, result))
            return;
        for (var start = 0; start < hours.Length; start += MostNumbers)
        {
            var batch = At(parameters);
            AddTo(batch.SurvivalHours, Part(hours, start));
            Take(Evaluate(batch).LogSurvivals, Part(result, start), LogReliabilities);
        }
    }

    public void Quantile(ReadOnlySpan<double> parameters, ReadOnlySpan<double> fractions, Span<double> result)
    {
        for (var start = 0; start < fractions.Length; start += MostNumbers)
        {
            var batch = At(parameters);
            AddTo(batch.QuantileFractions, Part(fractions, start));
            Take(Evaluate(batch).Quantiles, Part(result, start), "quantiles");
        }
    }

    public double? Mean(ReadOnlySpan<double> parameters)
    {
        if (!_description.HasMean)
            return null;
        var batch = At(parameters);
        batch.Mean = true;
        var result = Evaluate(batch);
        return result.HasMean ? result.Mean : throw Failed("it says that it has a mean and gave none");
    }

    public double? MeanRemaining(ReadOnlySpan<double> parameters, double ageHours)
    {
        if (!_description.HasMeanRemaining)
            return null;
        var batch = At(parameters);
        batch.RemainingHours.Add(ageHours);
        Span<double> result = stackalloc double[1];
        Take(Evaluate(batch).MeanRemaining, result, "mean remaining lives");
        return result[0];
    }

    private static EvaluationBatch At(ReadOnlySpan<double> parameters)
    {
        var batch = new EvaluationBatch();
        AddTo(batch.Parameters, parameters);
        return batch;
    }

    private static void AddTo(RepeatedField<double> field, ReadOnlySpan<double> values)
    {
        field.Capacity = field.Count + values.Length;
        foreach (var value in values)
            field.Add(value);
    }

    private static ReadOnlySpan<double> Part(ReadOnlySpan<double> whole, int start) =>
        whole.Slice(start, Math.Min(MostNumbers, whole.Length - start));

    private static Span<double> Part(Span<double> whole, int start) => whole.Slice(start, Math.Min(MostNumbers, whole.Length - start));

    private EvaluationResult Evaluate(EvaluationBatch batch)
    {
        var question = new EvaluateRequest { Family = Id };
        question.Batches.Add(batch);
        var answer = _plugIn.Call(Id, (client, options) => client.Evaluate(question, options), CancellationToken.None);
        return answer.Results.Count == 1 ? answer.Results[0] : throw Failed("it answered another number of batches than were asked");
    }

    private void Take(RepeatedField<double> from, Span<double> to, string what)
    {
        if (from.Count != to.Length)
            throw Failed($"it answered {from.Count} {what} where {to.Length} were asked");
        for (var i = 0; i < to.Length; i++)
            to[i] = from[i];
    }

    private LifeModelFailedException Failed(string reason) => new(Id, reason + ".");
}
