using Reliability.Analysis;
using Reliability.DemoData.Report;
using Reliability.DemoData.Scenario;
using Reliability.Engine;
using Reliability.Service.Mapping;
using Reliability.V1;

namespace Reliability.Studies.DemoCoverage;

/// <summary>Asks of one simulated network what the demo asks of the service, and sets the bounds beside the truth.</summary>
internal sealed class CoverageStudy
{
    private readonly Network _network = Network.Brindlemoor;
    private readonly CompareCohorts _compare;
    private readonly FitLives _fit;

    /// <summary>A study with the built-in life models.</summary>
    public CoverageStudy()
    {
        var models = BuiltInLifeModels.CreateCatalog();
        _compare = new CompareCohorts(models);
        _fit = new FitLives(models);
    }

    /// <summary>The network of one seed.</summary>
    public NetworkCoverage Of(ulong seed)
    {
        var recorded = new RecordedNetwork(_network, seed);
        var coverage = new NetworkCoverage([], []);
        foreach (var family in _network.Families)
        {
            if (family.Refurbished is not null)
                Compare(recorded, family, coverage);
            else
                FitWithShapes(recorded, family, coverage);
        }
        return coverage;
    }

    private void Compare(RecordedNetwork recorded, Family family, NetworkCoverage coverage)
    {
        var request = Questions.Compare(_network, family);
        List<ComparisonGroup> groups =
            [.. request.Groups.Select(group => new ComparisonGroup(group.Name, recorded.SampleOf(group.Cohort)))];
        var answer = ComparisonMapping.ToWire(_compare.Answer(groups, ComparisonMapping.Question(request)), revision: "");
        for (var condition = 0; condition < groups.Count; condition++)
        {
            var (name, lives) = groups[condition];
            var truth = family.TruthFor(condition);
            var fit = answer.Cohorts[condition].Fit;
            coverage.Samples.Add(SampleSize.Of(family.DisplayName, name, lives.Summary));
            coverage.Results.AddRange(Quantity.Of(family).Select(quantity => Result(
                family, name, quantity.Name, fit is null ? null : quantity.Estimate(fit), quantity.Truth(truth))));
        }
        coverage.Results.AddRange(Effects.Names.Select(name => Result(
            family,
            "refurbished over new",
            name,
            answer.Effects.FirstOrDefault(effect => effect.Name == name)?.Estimate,
            Effects.Truth(name, family))));
    }

    private void FitWithShapes(RecordedNetwork recorded, Family family, NetworkCoverage coverage)
    {
        foreach (var shape in WithoutFailuresSection.Shapes)
        {
            var request = Questions.FitWithShape(_network, family, shape);
            var lives = recorded.SampleOf(request.Cohort);
            var condition = FormattableString.Invariant($"shape taken as {shape}");
            var fit = _fit.Answer(lives, FitMapping.Question(request)).TryGet(out var answer, out _)
                ? FitMapping.ToWire(answer)
                : null;
            coverage.Samples.Add(SampleSize.Of(family.DisplayName, condition, lives.Summary));
            coverage.Results.AddRange(WithoutFailuresSection.QuantitiesOf(family).Select(quantity => Result(
                family, condition, quantity.Name, fit is null ? null : quantity.Estimate(fit), quantity.Truth(family.New))));
        }
    }

    private static CoverageResult Result(Family family, string condition, string quantity, Estimate? estimate, double truth) => new(
        family.DisplayName,
        condition,
        quantity,
        estimate is { HasLower: true } ? estimate.Lower : null,
        estimate is { HasUpper: true } ? estimate.Upper : null,
        truth);
}
