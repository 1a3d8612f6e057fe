using Microsoft.Extensions.Logging.Abstractions;
using Reliability.Engine.Remote.Models;
using Reliability.PlugIn.V1;
using Xunit;

namespace Reliability.Engine.Remote.Tests;

/// <summary>What the host makes of a description.</summary>
public sealed class DescriptionTests
{
    [Fact]
    public void An_estimator_with_a_scale_of_its_own_is_drawn_on_that_of_its_family()
    {
        using var plugIn = new RemotePlugIn(new RemotePlugInSettings { Id = "own", Command = "never-started" }, NullLogger.Instance);
        var own = new PlotScale { Hours = HoursScale.Log, Fraction = FractionScale.Own, StraightParameters = { 1 } };
        ParameterDescription[] parameters = [new() { Name = "scale", Unit = "hours", Lower = 0, Transform = ParameterTransform.Log }];
        var description = new DescribeResponse
        {
            Id = "own",
            Version = "1",
            Publisher = "Tests",
            Families = { new FamilyDescription { Id = "its-family", DisplayName = "F", Source = "S", Parameters = { parameters }, Plot = own } },
            Estimators =
            {
                new EstimatorDescription
                {
                    Id = "its-estimator",
                    DisplayName = "E",
                    Source = "S",
                    Parameters = { parameters },
                    BoundsMethods = { BoundsMethod.NormalApproximation },
                    Plot = own,
                    Family = "its-family",
                },
            },
        };
        var models = PlugInModels.Of(description, plugIn);
        Assert.Equal("its-family", Assert.Single(models.Estimators).Description.Plot.FractionScale);
    }
}
