using System.Text.RegularExpressions;
using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Conformance;

/// <summary>What holds of every answer, whatever the sample; each rule looks at one side of the same evidence.</summary>
internal static partial class AnswerRules
{
    private const double Rounding = 1e-9;

    public static Finding TypedOutcomes(LifeModelUnderTest subject)
    {
        foreach (var at in subject.AllEvidence)
        {
            // That it claims a bounds method and refuses it is another rule's.
            Broken.Unless(at.Thrown is null or UnsupportedRequestException, $"{at.Name}: it threw {at.Thrown?.GetType().Name}: {at.Thrown?.Message}");
            foreach (var answer in at.Answers)
                Broken.Unless(answer.Thrown is null, $"{at.Name}, {answer.Question}: it threw {answer.Thrown?.GetType().Name}: {answer.Thrown?.Message}");
        }

        var fitted = subject.AllEvidence.Count(c => c.Life is not null);
        Broken.Unless(fitted > 0, $"None of {subject.AllEvidence.Count} samples allowed a fit.");
        return Finding.Kept($"{fitted} fits and {subject.AllEvidence.Count - fitted} reasons");
    }

    public static Finding Numbers(LifeModelUnderTest subject)
    {
        var numbers = 0;
        foreach (var at in subject.AllEvidence.Where(c => c.Life is not null))
        {
            Broken.Unless(at.Life!.LogLikelihood is null || double.IsFinite(at.Life.LogLikelihood.Value), $"{at.Name}: the log-likelihood is {at.Life.LogLikelihood}.");
            var size = at.Life.Parameters.Count * at.Life.Parameters.Count;
            Broken.Unless(
                at.Life.Covariance.Count == 0 || at.Life.Covariance.Count == size, $"{at.Name}: the covariance has {at.Life.Covariance.Count} numbers, not {size}.");
            Broken.Unless(at.Life.Covariance.All(double.IsFinite), $"{at.Name}: a number of the covariance is not finite.");
            foreach (var (question, estimate) in Estimates(at))
            {
                foreach (var (what, number) in (ReadOnlySpan<(string, double?)>)[("value", estimate.Value), ("lower bound", estimate.Lower), ("upper bound", estimate.Upper), ("standard error", estimate.StandardError)])
                {
                    Broken.Unless(number is null || double.IsFinite(number.Value), $"{at.Name}, {question}: the {what} is {number}. What does not exist is null.");
                    numbers += number is null ? 0 : 1;
                }

                var absent = estimate.Side switch
                {
                    BoundSide.Lower => estimate.Lower is null,
                    BoundSide.Upper => estimate.Upper is null,
                    _ => estimate.Value is null,
                };
                Broken.Unless(!absent || estimate.Notes.Count > 0, $"{at.Name}, {question}: there is no number and no note that says why.");
            }
        }

        return Finding.Kept($"{numbers} numbers");
    }

    public static Finding BoundsHoldEstimate(LifeModelUnderTest subject)
    {
        var bounds = 0;
        foreach (var at in subject.AllEvidence.Where(c => c.Life is not null))
        {
            foreach (var answer in at.Answers.Where(a => a.Estimate is not null))
            {
                // NaN is another rule's: comparisons are written so that it passes here.
                var (value, lower, upper) = (answer.Estimate!.Value, answer.Estimate.Lower, answer.Estimate.Upper);
                var slack = Rounding * Math.Abs(value ?? 0);
                Broken.Unless(!(lower > value + slack), $"{at.Name}, {answer.Question}: the lower bound {lower:G10} is above the estimate {value:G10}.");
                Broken.Unless(!(upper < value - slack), $"{at.Name}, {answer.Question}: the upper bound {upper:G10} is below the estimate {value:G10}.");
                Broken.Unless(!(lower > upper + slack), $"{at.Name}, {answer.Question}: the lower bound {lower:G10} is above the upper {upper:G10}.");
                Broken.Unless(!(answer.Estimate.StandardError < 0), $"{at.Name}, {answer.Question}: the standard error is below 0.");
                foreach (var number in answer.Kind == AnswerKind.Probability ? (double?[])[value, lower, upper] : [])
                    Broken.Unless(!(number < 0 || number > 1), $"{at.Name}, {answer.Question}: {number:G10} is no probability.");
                bounds += (lower is null ? 0 : 1) + (upper is null ? 0 : 1);
            }
        }

        Broken.Unless(bounds > 0, $"No answer carried a bound.");
        return Finding.Kept($"{bounds} bounds");
    }

    public static Finding Texts(LifeModelUnderTest subject)
    {
        var texts = 0;
        foreach (var at in subject.AllEvidence)
        {
            if (at.Reason is { } reason)
                Check(reason.Reason, reason.Text, $"{at.Name}: the reason");
            foreach (var warning in at.Life?.Warnings ?? [])
                Check(warning.Code, warning.Text, $"{at.Name}: a warning");
            foreach (var (question, estimate) in at.Life is null ? [] : Estimates(at))
            {
                foreach (var note in estimate.Notes)
                    Check(note.Code, note.Text, $"{at.Name}, {question}: a note");
            }
        }

        return Finding.Kept($"{texts} texts");

        void Check(string code, string text, string what)
        {
            texts++;
            Broken.Unless(code is not null && Code().IsMatch(code), $"{what} has the code \"{code}\", which is not of the form UPPER_SNAKE.");
            Broken.Unless(!string.IsNullOrWhiteSpace(text), $"{what} {code} has no text.");
        }
    }

    private static IEnumerable<(string Question, BoundedEstimate Estimate)> Estimates(FitCase at) =>
        at.Answers.Where(a => a.Estimate is not null).Select(a => (a.Question, a.Estimate!));

    [GeneratedRegex("^[A-Z][A-Z0-9]*(_[A-Z0-9]+)*$")]
    private static partial Regex Code();
}
