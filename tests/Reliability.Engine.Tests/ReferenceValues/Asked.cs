using Reliability.Engine.Abstractions;
using Reliability.Reference;

namespace Reliability.Engine.Tests.ReferenceValues;

/// <summary>Puts the questions of the reference files to the engine.</summary>
internal static class Asked
{
    public static ILifeModelCatalog Catalog { get; } = BuiltInLifeModels.CreateCatalog();

    public static ILifeModel Model(string id) =>
        Catalog.TryGet(id, out var model) ? model : throw new ArgumentException($"No model {id}.", nameof(id));

    public static LifeSample Sample(IEnumerable<ReferenceObservation> observations)
    {
        var builder = new LifeSampleBuilder();
        foreach (var o in observations)
        {
            _ = o.Kind switch
            {
                "failure" => builder.AddFailed(o.Time, o.Entry, o.Count, failureMode: o.Mode),
                "right" => builder.AddSurvived(o.Time, o.Entry, o.Count),
                "left" => builder.AddBetween(o.Entry, o.Time, o.Entry, o.Count),
                "interval" => builder.AddBetween(o.Time, o.Upper!.Value, o.Entry, o.Count),
                _ => throw new ArgumentException($"Unknown kind {o.Kind}.", nameof(observations)),
            };
        }

        return builder.Build();
    }

    public static FitOptions Options(ReferenceBounds bounds, double level) => new()
    {
        ConfidenceLevel = level,
        BoundsMethod = bounds switch
        {
            ReferenceBounds.NormalApproximation => BoundsMethod.NormalApproximation,
            ReferenceBounds.LikelihoodRatio => BoundsMethod.LikelihoodRatio,
            _ => BoundsMethod.Exact,
        },
        Termination = bounds switch
        {
            ReferenceBounds.ExactFailureTerminated => Termination.FailureTerminated,
            ReferenceBounds.ExactTimeTerminated => Termination.TimeTerminated,
            _ => Termination.Unspecified,
        },
    };

    public static Answer Ask(IFittedLife life, Question question)
    {
        var token = TestContext.Current.CancellationToken;
        return question.Kind switch
        {
            QuestionKind.Parameter => Answer(life.Parameters.Single(p => p.Name == question.Name).Estimate),
            QuestionKind.Mean => Answer(life.Mean(token)),
            QuestionKind.Percentile => Answer(life.PercentileLife(question.X, token)),
            QuestionKind.Reliability => Answer(life.Reliability(question.X, token)),
            QuestionKind.ConditionalReliability => Answer(life.ConditionalReliability(question.Age, question.X, token)),
            QuestionKind.MedianRemaining => Answer(life.RemainingLife(question.Age, 0.5, token)),
            QuestionKind.MeanRemaining => Answer(life.MeanRemainingLife(question.Age, token)),
            _ => throw new ArgumentOutOfRangeException(nameof(question), question, null),
        };
    }

    public static Answer Answer(BoundedEstimate estimate) =>
        new(estimate.Value, estimate.Lower, estimate.Upper, estimate.StandardError);
}
