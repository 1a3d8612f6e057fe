namespace Reliability.Reference;

/// <summary>What a fitted life is asked.</summary>
public enum QuestionKind
{
    /// <summary>A parameter, by <see cref="Question.Name"/>.</summary>
    Parameter,

    /// <summary>Mean life.</summary>
    Mean,

    /// <summary>Age by which the fraction <see cref="Question.X"/> has failed.</summary>
    Percentile,

    /// <summary>Probability of surviving to <see cref="Question.X"/>.</summary>
    Reliability,

    /// <summary>Probability of surviving <see cref="Question.X"/> more given survival to <see cref="Question.Age"/>.</summary>
    ConditionalReliability,

    /// <summary>Median remaining life at <see cref="Question.Age"/>.</summary>
    MedianRemaining,

    /// <summary>Mean remaining life at <see cref="Question.Age"/>.</summary>
    MeanRemaining,
}

/// <summary>One question, put the same way to the engine and to the service.</summary>
public sealed record Question(QuestionKind Kind, string? Name = null, double Age = 0, double X = 0)
{
    public override string ToString() => Kind switch
    {
        QuestionKind.Parameter => Name!,
        QuestionKind.Mean => "mean",
        QuestionKind.Percentile => $"percentile {X}",
        QuestionKind.Reliability => $"reliability at {X}",
        QuestionKind.ConditionalReliability => $"survival of {X} more at age {Age}",
        QuestionKind.MedianRemaining => $"median remaining at {Age}",
        _ => $"mean remaining at {Age}",
    };
}
