using Google.Protobuf.Collections;
using Reliability.Engine.Abstractions;
using Reliability.Engine.Families;
using Reliability.PlugIn.V1;

namespace Reliability.Engine.Remote.Models;

/// <summary>
/// A family that a remote plug-in evaluates. Each method is one call or, for more numbers than a message may hold, some; none where the
/// answer was fetched before with others. A call ends when whoever waits for it gives up (<see cref="CallerCancellation"/>).
/// </summary>
internal sealed class RemoteFamily : IDistantFamily
{
    private const int MostNumbers = 60_000;

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

    public int MostCallers => _plugIn.MostCallers;

    public void Expect(IReadOnlyList<FamilyQuestion> questions, IReadOnlyList<double[]> members)
    {
        var here = ExpectedAnswers.Of(this);
        var numbers = Parameters.Count + questions.Sum(question => question.Arguments.Length);
        if (members.Count == 0 || numbers > MostNumbers || here.Has(questions, members))
            return;
        List<double[][]> answers = [];
        foreach (var some in members.Chunk(MostNumbers / numbers))
        {
            var results = Evaluate([.. some.Select(member => BatchOf(questions, member))]);
            answers.AddRange(results.Select(result => AnswersOf(questions, result)));
        }

        here.Keep(questions, members, [.. answers]);
    }

    public void LogDensity(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result) =>
        Ask(FamilyAnswer.LogDensity, parameters, hours, result);

    public void LogSurvival(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result) =>
        Ask(FamilyAnswer.LogSurvival, parameters, hours, result);

    public void Quantile(ReadOnlySpan<double> parameters, ReadOnlySpan<double> fractions, Span<double> result) =>
        Ask(FamilyAnswer.Quantile, parameters, fractions, result);

    public double? Mean(ReadOnlySpan<double> parameters)
    {
        if (!_description.HasMean)
            return null;
        Span<double> result = stackalloc double[1];
        Ask(FamilyAnswer.Mean, parameters, FamilyQuestion.Mean.Arguments, result);
        return result[0];
    }

    public double? MeanRemaining(ReadOnlySpan<double> parameters, double ageHours)
    {
        if (!_description.HasMeanRemaining)
            return null;
        var batch = At(parameters);
        batch.RemainingHours.Add(ageHours);
        return Evaluate([batch])[0].MeanRemaining[0];
    }

    private void Ask(FamilyAnswer kind, ReadOnlySpan<double> parameters, ReadOnlySpan<double> arguments, Span<double> result)
    {
        if (ExpectedAnswers.Of(this).TryTake(kind, parameters, arguments, result))
            return;
        for (var start = 0; start < arguments.Length; start += MostNumbers)
        {
            var part = Math.Min(MostNumbers, arguments.Length - start);
            var batch = At(parameters);
            Add(batch, kind, arguments.Slice(start, part));
            new AnswerReader(Evaluate([batch])[0]).Take(kind, result.Slice(start, part));
        }
    }

    private static EvaluationBatch At(ReadOnlySpan<double> parameters)
    {
        var batch = new EvaluationBatch();
        AddTo(batch.Parameters, parameters);
        return batch;
    }

    private EvaluationBatch BatchOf(IReadOnlyList<FamilyQuestion> questions, double[] member)
    {
        var batch = At(member);
        foreach (var (kind, arguments) in questions)
            Add(batch, kind, arguments);
        return batch;
    }

    private static double[][] AnswersOf(IReadOnlyList<FamilyQuestion> questions, EvaluationResult result)
    {
        var reader = new AnswerReader(result);
        var answers = questions.Select(question => new double[question.Arguments.Length]).ToArray();
        for (var q = 0; q < answers.Length; q++)
            reader.Take(questions[q].Kind, answers[q]);
        return answers;
    }

    private void Add(EvaluationBatch batch, FamilyAnswer kind, ReadOnlySpan<double> arguments)
    {
        switch (kind)
        {
            case FamilyAnswer.LogDensity:
                AddTo(batch.DensityHours, arguments);
                break;
            case FamilyAnswer.LogSurvival:
                AddTo(batch.SurvivalHours, arguments);
                break;
            case FamilyAnswer.Quantile:
                AddTo(batch.QuantileFractions, arguments);
                break;
            default:
                batch.Mean = _description.HasMean;
                break;
        }
    }

    private static void AddTo(RepeatedField<double> field, ReadOnlySpan<double> values)
    {
        field.Capacity = field.Count + values.Length;
        foreach (var value in values)
            field.Add(value);
    }

    private EvaluationResult[] Evaluate(EvaluationBatch[] batches)
    {
        var question = new EvaluateRequest { Family = Id };
        question.Batches.Add(batches);
        var answer = _plugIn.Call(Id, (client, options) => client.Evaluate(question, options), CallerCancellation.Current);
        if (answer.Results.Count != batches.Length)
            throw Failed("it answered another number of batches than were asked");
        for (var i = 0; i < batches.Length; i++)
        {
            var (asked, answered) = (batches[i], answer.Results[i]);
            Check(asked.DensityHours, answered.LogDensities, "log densities");
            Check(asked.SurvivalHours, answered.LogSurvivals, "log reliabilities");
            Check(asked.QuantileFractions, answered.Quantiles, "quantiles");
            Check(asked.RemainingHours, answered.MeanRemaining, "mean remaining lives");
            if (asked.Mean && !answered.HasMean)
                throw Failed("it says that it has a mean and gave none");
        }

        return [.. answer.Results];
    }

    private void Check(RepeatedField<double> asked, RepeatedField<double> answered, string what)
    {
        if (answered.Count != asked.Count)
            throw Failed($"it answered {answered.Count} {what} where {asked.Count} were asked");
    }

    private LifeModelFailedException Failed(string reason) => new(Id, reason + ".");
}
