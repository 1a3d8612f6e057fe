using Reliability.Reference;
using Reliability.V1;

namespace Reliability.EndToEnd.Answers;

/// <summary>Puts the questions of the reference files to the service.</summary>
internal static class Asked
{
    public static InlineSample Sample(IEnumerable<ReferenceObservation> observations)
    {
        var sample = new InlineSample();
        sample.Observations.AddRange(observations.Select(Observation));
        return sample;
    }

    /// <summary>A fit request with everything that the questions want.</summary>
    public static FitLivesRequest Fit(
        InlineSample sample, string lifeModel, ReferenceBounds bounds, double level, IEnumerable<Question> questions)
    {
        var request = new FitLivesRequest
        {
            Sample = sample,
            LifeModel = lifeModel,
            ConfidenceLevel = level,
            BoundsMethod = Bounds(bounds),
            Termination = bounds switch
            {
                ReferenceBounds.ExactFailureTerminated => Termination.Failure,
                ReferenceBounds.ExactTimeTerminated => Termination.Time,
                _ => Termination.Unspecified,
            },
        };
        foreach (var question in questions)
        {
            switch (question.Kind)
            {
                case QuestionKind.Percentile: request.FailureFractions.Add(question.X); break;
                case QuestionKind.Reliability: request.ReliabilityHours.Add(question.X); break;
                case QuestionKind.ConditionalReliability:
                    Query(request, question.Age).HorizonHours.Add(question.X);
                    break;
                case QuestionKind.MedianRemaining or QuestionKind.MeanRemaining: Query(request, question.Age); break;
            }
        }

        return request;
    }

    public static BoundsMethod Bounds(ReferenceBounds bounds) => bounds switch
    {
        ReferenceBounds.NormalApproximation => BoundsMethod.NormalApproximation,
        ReferenceBounds.LikelihoodRatio => BoundsMethod.LikelihoodRatio,
        _ => BoundsMethod.Exact,
    };

    /// <summary>The answer to a question, out of a fit that was asked it.</summary>
    public static Answer Find(LifeFit fit, Question question) => Answer(question.Kind switch
    {
        QuestionKind.Parameter => fit.Parameters[question.Name!],
        QuestionKind.Mean => fit.MeanLife,
        QuestionKind.Percentile => fit.PercentileLives.First(life => life.FailureFraction == question.X).Hours,
        QuestionKind.Reliability => fit.Reliability.First(point => point.Hours == question.X).Probability,
        QuestionKind.ConditionalReliability =>
            Remaining(fit, question).Survival.First(point => point.Hours == question.X).Probability,
        QuestionKind.MedianRemaining => Remaining(fit, question).MedianHours,
        QuestionKind.MeanRemaining => Remaining(fit, question).MeanHours,
        _ => throw new ArgumentOutOfRangeException(nameof(question), question, null),
    });

    public static Answer Answer(Estimate estimate) => new(
        estimate.HasValue ? estimate.Value : null, estimate.HasLower ? estimate.Lower : null,
        estimate.HasUpper ? estimate.Upper : null, estimate.HasStandardError ? estimate.StandardError : null);

    private static RemainingLife Remaining(LifeFit fit, Question question) =>
        fit.RemainingLives.First(life => life.AgeHours == question.Age);

    private static RemainingLifeQuery Query(FitLivesRequest request, double age)
    {
        var query = request.RemainingLifeQueries.FirstOrDefault(query => query.AgeHours == age);
        if (query is null)
            request.RemainingLifeQueries.Add(query = new RemainingLifeQuery { AgeHours = age });
        return query;
    }

    private static LifeObservation Observation(ReferenceObservation row)
    {
        var observation = new LifeObservation { EntryHours = row.Entry, Count = (long)row.Count };
        switch (row.Kind)
        {
            case "failure": observation.FailureHours = row.Time; break;
            case "right": observation.SurvivalHours = row.Time; break;
            case "left": observation.FailureInterval = new() { LowerHours = row.Entry, UpperHours = row.Time }; break;
            case "interval":
                observation.FailureInterval = new() { LowerHours = row.Time, UpperHours = row.Upper!.Value };
                break;
            default: throw new ArgumentException($"Unknown kind {row.Kind}.", nameof(row));
        }

        return observation;
    }
}
