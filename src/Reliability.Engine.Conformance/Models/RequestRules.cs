using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Conformance;

/// <summary>Requests that no data could satisfy.</summary>
internal static class RequestRules
{
    private const int Lives = 40;

    public static Finding Options(LifeModelUnderTest subject)
    {
        var sample = subject.Draw(Lives, Watching.Complete, 21);
        List<(string What, FitOptions Options)> wrong = [];
        foreach (var level in (double[])[0, 1, -0.5, 1.5, double.NaN])
            wrong.Add((FormattableString.Invariant($"the confidence level {level}"), subject.Cheapest() with { ConfidenceLevel = level }));
        foreach (var name in subject.Capabilities.FixableParameters)
        {
            foreach (var value in (double[])[double.NaN, double.PositiveInfinity])
            {
                wrong.Add((
                    FormattableString.Invariant($"{name} held at {value}"),
                    subject.Cheapest(held: true) with { FixedParameters = new Dictionary<string, double> { [name] = value } }));
            }
        }

        if (subject.Capabilities.BoundsMethods.Contains(BoundsMethod.Bootstrap))
            wrong.Add(("3 replicates", new FitOptions { BoundsMethod = BoundsMethod.Bootstrap, Replicates = 3 }));
        foreach (var (what, options) in wrong)
        {
            try
            {
                subject.Model.Fit(sample, options);
            }
            catch (UnsupportedRequestException refused)
            {
                Broken.Unless(!string.IsNullOrWhiteSpace(refused.Rule) && !string.IsNullOrWhiteSpace(refused.Option), $"{what} is refused without a text.");
                continue;
            }

            Broken.Unless(false, $"{what} is to be refused with {nameof(UnsupportedRequestException)}.");
        }

        return Finding.Kept($"{wrong.Count} wrong options");
    }

    public static Finding Questions(LifeModelUnderTest subject)
    {
        var (_, life) = subject.Fitted(Lives, Watching.Complete, 22, subject.Cheapest(), $"A complete sample");
        List<(string What, Action Ask)> wrong =
        [
            ("percentile life 0", () => life.PercentileLife(0)),
            ("percentile life 1", () => life.PercentileLife(1)),
            ("percentile life NaN", () => life.PercentileLife(double.NaN)),
            ("reliability at -1 h", () => life.Reliability(-1)),
            ("reliability at infinity", () => life.Reliability(double.PositiveInfinity)),
            ("conditional reliability at -1 h", () => life.ConditionalReliability(-1, 1)),
            ("conditional reliability of a further -1 h", () => life.ConditionalReliability(1, -1)),
            ("remaining life at -1 h", () => life.RemainingLife(-1, 0.5)),
            ("remaining life of fraction 1", () => life.RemainingLife(1, 1)),
            ("mean remaining life at -1 h", () => life.MeanRemainingLife(-1)),
            ("curve at 0 h", () => life.Curve([0])),
        ];
        foreach (var (what, ask) in wrong)
        {
            try
            {
                ask();
            }
            catch (ArgumentOutOfRangeException)
            {
                continue;
            }

            Broken.Unless(false, $"{what} is to be refused with {nameof(ArgumentOutOfRangeException)}.");
        }

        return Finding.Kept($"{wrong.Count} wrong questions");
    }
}
