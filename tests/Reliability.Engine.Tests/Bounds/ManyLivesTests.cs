using Reliability.Engine.Abstractions;
using Reliability.Engine.Tests.ReferenceValues;

namespace Reliability.Engine.Tests.Bounds;

/// <summary>Samples of many rows take their bounds from the edge as a curve; the answer must be that of few rows with counts.</summary>
public sealed class ManyLivesTests
{
    [Theory]
    [InlineData("weibull")]
    [InlineData("lognormal")]
    [InlineData("exponential")]
    public void Many_rows_answer_like_the_same_lives_counted(string model)
    {
        var counted = new LifeSampleBuilder();
        var rows = new LifeSampleBuilder();
        for (var i = 1; i <= 40; i++)
        {
            counted.AddFailed(50 * i, count: 30).AddSurvived(45 * i + 7, count: 20);
            for (var k = 0; k < 30; k++)
                rows.AddFailed(50 * i);
            for (var k = 0; k < 20; k++)
                rows.AddSurvived(45 * i + 7);
        }

        var few = Asked.Model(model).Fit(counted.Build(), FitOptions.Default).Value;
        var many = Asked.Model(model).Fit(rows.Build(), FitOptions.Default).Value;

        foreach (var question in (Func<IFittedLife, BoundedEstimate>[])
            [l => l.Mean(), l => l.PercentileLife(0.01), l => l.Reliability(3000), l => l.MeanRemainingLife(1500), l => l.Parameters[0].Estimate])
        {
            var (one, other) = (question(few), question(many));
            Assert.Equal(1, other.Value!.Value / one.Value!.Value, 1e-10);
            Assert.Equal(1, other.Lower!.Value / one.Lower!.Value, 1e-8);
            Assert.Equal(1, other.Upper!.Value / one.Upper!.Value, 1e-8);
        }
    }
}
