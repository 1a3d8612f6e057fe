using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Families;

/// <summary>Stands in the place of a family to learn what a likelihood asks of it: always the same, whatever the parameters.</summary>
internal sealed class AgesAsked : ILifeFamily
{
    private readonly List<FamilyQuestion> _questions = [];

    private AgesAsked()
    {
    }

    public string Id => string.Empty;

    public string DisplayName => string.Empty;

    public IReadOnlyList<ParameterDescription> Parameters => [];

    public bool ScaleEquivariant => false;

    public IPlotScale Plot => throw new InvalidOperationException("It is not drawn.");

    /// <summary>What the likelihood of a sample asks.</summary>
    public static IReadOnlyList<FamilyQuestion> Of(LifeSample sample)
    {
        var asked = new AgesAsked();
        _ = new FamilyLikelihood(asked, sample).At([], CancellationToken.None);
        return asked._questions;
    }

    public void LogDensity(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result) =>
        Note(FamilyAnswer.LogDensity, hours, result);

    public void LogSurvival(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result) =>
        Note(FamilyAnswer.LogSurvival, hours, result);

    public void Quantile(ReadOnlySpan<double> parameters, ReadOnlySpan<double> fractions, Span<double> result) =>
        Note(FamilyAnswer.Quantile, fractions, result);

    public double? Mean(ReadOnlySpan<double> parameters) => null;

    private void Note(FamilyAnswer kind, ReadOnlySpan<double> arguments, Span<double> result)
    {
        if (arguments.Length > 0)
            _questions.Add(new(kind, arguments.ToArray()));
        result.Clear();
    }
}
