using System.Text.Json;

namespace Reliability.Reference;

/// <summary>A fit of a reference case: what it must answer, and the check that it does.</summary>
public sealed class ReferenceFit(string lifeModel, JsonElement element)
{
    /// <summary>Id of the life model.</summary>
    public string LifeModel { get; } = lifeModel;

    /// <summary>Gamma and three-parameter Weibull values were made with numerical derivatives; the others exactly.</summary>
    private double EstimateTolerance => LifeModel is "gamma" or "weibull3" ? Tolerance.NumericalEstimate : Tolerance.Estimate;

    private double BoundTolerance => LifeModel is "gamma" or "weibull3" ? Tolerance.NumericalBound : Tolerance.Bound;

    public double LogLikelihood => element.GetProperty("loglik").GetDouble();

    /// <summary>Parameter names in the order of the covariance.</summary>
    public IReadOnlyList<string> ParameterOrder =>
        [.. element.GetProperty("cov_natural_names").EnumerateArray().Select(e => e.GetString()!)];

    /// <summary>Covariance on the natural scale, row-major.</summary>
    public IReadOnlyList<double> Covariance =>
        [.. element.GetProperty("cov_natural").EnumerateArray().SelectMany(r => r.EnumerateArray()).Select(e => e.GetDouble())];

    public double Parameter(string name) => element.GetProperty("parameters").GetProperty(name).GetDouble();

    /// <summary>Questions with the answers expected; empty where the case holds no bounds of that method and level.</summary>
    /// <param name="bounds">Method.</param>
    /// <param name="level">0.95 or 0.90; the other methods than the normal approximation have 0.95 only.</param>
    public IReadOnlyList<(Question Question, Answer Expected)> Expectations(ReferenceBounds bounds, double level) => bounds switch
    {
        ReferenceBounds.NormalApproximation => [.. NormalApproximation(level == 0.95 ? "ci95" : "ci90")],
        ReferenceBounds.LikelihoodRatio when level == 0.95 => [.. Profile()],
        ReferenceBounds.ExactTimeTerminated when level == 0.95 => [.. ExactMean("time_terminated_ci95")],
        ReferenceBounds.ExactFailureTerminated when level == 0.95 => [.. ExactMean("failure_terminated_ci95")],
        _ => [],
    };

    /// <summary>Compares the answers of something that was fitted.</summary>
    /// <param name="differences">Receives the comparisons.</param>
    /// <param name="label">Case and model, for messages.</param>
    /// <param name="bounds">Method that the answers were asked with.</param>
    /// <param name="level">Level that they were asked with.</param>
    /// <param name="ask">Puts a question.</param>
    public void Compare(Differences differences, string label, ReferenceBounds bounds, double level, Func<Question, Answer> ask)
    {
        foreach (var (question, expected) in Expectations(bounds, level))
        {
            var actual = ask(question);
            var what = $"{label}, {bounds} {level}, {question}";
            differences.Relative(what, expected.Value, actual.Value, EstimateTolerance);
            if (expected.StandardError is { } error)
                differences.Relative(what + ", standard error", error, actual.StandardError, BoundTolerance);
            differences.Note(
                what + ", lower", expected.Lower, actual.Lower,
                Tolerance.ProfileBound(expected.Lower, actual.Lower, expected.Value), BoundTolerance);
            differences.Note(
                what + ", upper", expected.Upper, actual.Upper,
                Tolerance.ProfileBound(expected.Upper, actual.Upper, expected.Value), BoundTolerance);
        }
    }

    /// <summary>Compares log-likelihood and covariance.</summary>
    public void CompareWhole(
        Differences differences, string label, double? logLikelihood, IReadOnlyList<string> parameterOrder,
        IReadOnlyList<double> covariance)
    {
        differences.Note(
            label + ", log-likelihood", LogLikelihood, logLikelihood,
            Tolerance.LogLikelihood(LogLikelihood, logLikelihood), EstimateTolerance);
        var names = ParameterOrder;
        var expected = Covariance;
        for (var i = 0; i < names.Count; i++)
        {
            for (var j = 0; j < names.Count; j++)
            {
                var (row, column) = (IndexOf(parameterOrder, names[i]), IndexOf(parameterOrder, names[j]));
                var actual = covariance.Count == names.Count * names.Count
                    ? covariance[row * names.Count + column]
                    : double.NaN;
                var scale = Math.Sqrt(expected[i * names.Count + i] * expected[j * names.Count + j]);
                differences.Note(
                    $"{label}, covariance of {names[i]} and {names[j]}", expected[i * names.Count + j], actual,
                    Math.Abs(actual - expected[i * names.Count + j]) / scale, BoundTolerance);
            }
        }
    }

    private static int IndexOf(IReadOnlyList<string> names, string name)
    {
        for (var i = 0; i < names.Count; i++)
        {
            if (names[i] == name)
                return i;
        }

        throw new ArgumentException($"No parameter {name}.", nameof(name));
    }

    private IEnumerable<(Question, Answer)> NormalApproximation(string interval)
    {
        foreach (var parameter in element.TryGetProperty("parameter_bounds", out var all) ? all.EnumerateObject() : default)
        {
            var (lower, upper) = Pair(parameter.Value.GetProperty(interval));
            var i = IndexOf(ParameterOrder, parameter.Name);
            yield return (
                new Question(QuestionKind.Parameter, parameter.Name),
                new Answer(Parameter(parameter.Name), lower, upper, Math.Sqrt(Covariance[i * ParameterOrder.Count + i])));
        }

        var life = element.GetProperty("life");
        yield return (new Question(QuestionKind.Mean), Delta(life.GetProperty("mean"), interval));
        foreach (var (key, fraction) in new[] { ("B1", 0.01), ("B5", 0.05), ("B10", 0.1), ("median", 0.5), ("B90", 0.9) })
            yield return (new Question(QuestionKind.Percentile, X: fraction), Delta(life.GetProperty(key), interval));
        foreach (var entry in element.GetProperty("reliability").EnumerateArray())
            yield return (new Question(QuestionKind.Reliability, X: entry.GetProperty("time").GetDouble()), Delta(entry, interval));
        if (!element.TryGetProperty("conditional", out var conditional))
            yield break;
        var age = conditional.GetProperty("age").GetDouble();
        foreach (var entry in conditional.GetProperty("survive").EnumerateArray())
        {
            yield return (
                new Question(QuestionKind.ConditionalReliability, Age: age, X: entry.GetProperty("x").GetDouble()),
                Delta(entry, interval));
        }

        yield return (
            new Question(QuestionKind.MedianRemaining, Age: age), Delta(conditional.GetProperty("median_remaining"), interval));
        yield return (
            new Question(QuestionKind.MeanRemaining, Age: age), Delta(conditional.GetProperty("mean_residual"), interval));
    }

    private IEnumerable<(Question, Answer)> Profile()
    {
        if (!element.TryGetProperty("profile95", out var profile))
            yield break;
        var life = element.GetProperty("life");
        foreach (var entry in profile.EnumerateObject())
        {
            switch (entry.Name)
            {
                case "reliability":
                    var values = element.GetProperty("reliability").EnumerateArray()
                        .ToDictionary(e => e.GetProperty("time").GetDouble(), e => e.GetProperty("value").GetDouble());
                    foreach (var at in entry.Value.EnumerateArray())
                    {
                        var hours = at.GetProperty("time").GetDouble();
                        yield return (
                            new Question(QuestionKind.Reliability, X: hours), Answer(values[hours], at.GetProperty("ci95")));
                    }

                    break;
                case "mean" when LifeModel != "exponential":
                    yield return (
                        new Question(QuestionKind.Mean),
                        Answer(life.GetProperty("mean").GetProperty("value").GetDouble(), entry.Value));
                    break;
                case "B10" or "median":
                    yield return (
                        new Question(QuestionKind.Percentile, X: entry.Name == "B10" ? 0.1 : 0.5),
                        Answer(life.GetProperty(entry.Name).GetProperty("value").GetDouble(), entry.Value));
                    break;
                default:
                    yield return (
                        new Question(QuestionKind.Parameter, entry.Name), Answer(Parameter(entry.Name), entry.Value));
                    break;
            }
        }
    }

    private IEnumerable<(Question, Answer)> ExactMean(string key)
    {
        if (element.TryGetProperty("exact_mean_bounds", out var exact))
            yield return (new Question(QuestionKind.Parameter, "mean"), Answer(Parameter("mean"), exact.GetProperty(key)));
    }

    /// <summary>A delta-method entry; its standard error is carried from the transformed to the natural scale.</summary>
    private static Answer Delta(JsonElement entry, string interval)
    {
        if (Number(entry.GetProperty("value")) is not { } value)
            return new Answer(null, null, null);
        var transformed = entry.GetProperty("se_transformed").GetDouble();
        double? error = entry.GetProperty("transform").GetString() switch
        {
            "log" => value * transformed,
            "identity" => transformed,

            // A probability that rounds to 0 or 1 says nothing of its error on the natural scale.
            _ => value is > 0 and < 1 ? value * -Math.Log(value) * transformed : null,
        };
        var (lower, upper) = Pair(entry.GetProperty(interval));
        return new Answer(value, lower, upper, error);
    }

    private static Answer Answer(double value, JsonElement interval)
    {
        var (lower, upper) = Pair(interval);
        return new Answer(value, lower, upper);
    }

    private static (double?, double?) Pair(JsonElement element) => (Number(element[0]), Number(element[1]));

    private static double? Number(JsonElement element) =>
        element.ValueKind == JsonValueKind.Null ? null : element.GetDouble();
}
