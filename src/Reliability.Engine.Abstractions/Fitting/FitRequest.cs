using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Fitting;

/// <summary>Options checked against what a model can do.</summary>
internal static class FitRequest
{
    /// <summary>Throws for options that no data could satisfy.</summary>
    /// <exception cref="UnsupportedRequestException">An option is out of range or not available.</exception>
    public static void Check(LifeModelDescription model, FitOptions options)
    {
        CheckLevel(options.ConfidenceLevel);
        foreach (var (name, value) in options.FixedParameters)
        {
            var option = $"fixed_parameters[{name}]";
            if (!model.Capabilities.FixableParameters.Contains(name))
            {
                throw new UnsupportedRequestException(option, model.Capabilities.FixableParameters.Count == 0
                    ? $"{model.DisplayName} has no parameter that can be held."
                    : $"{model.DisplayName} can hold {string.Join(", ", model.Capabilities.FixableParameters)} only.");
            }

            if (!model.Parameters.Single(p => p.Name == name).Allows(value))
            {
                throw new UnsupportedRequestException(
                    option, $"{name} must be a finite number in its domain; got {value.ToString("R", CultureInfo.InvariantCulture)}.");
            }
        }

        CheckReplicates(options);
        var methods = options.FixedParameters.Count > 0
            ? model.Capabilities.BoundsMethodsWithFixedParameters
            : model.Capabilities.BoundsMethods;
        if (!methods.Contains(options.BoundsMethod))
        {
            throw new UnsupportedRequestException(
                "bounds_method",
                $"{options.BoundsMethod} bounds are not available for {model.DisplayName}"
                + (options.FixedParameters.Count > 0 ? " with a parameter held" : "")
                + $"; available: {string.Join(", ", methods.Order())}.");
        }
    }

    /// <summary>What every fit begins with: sample and options that are there, and options that the model takes.</summary>
    /// <exception cref="ArgumentNullException">Sample or options are null.</exception>
    /// <exception cref="UnsupportedRequestException">An option is out of range or not available.</exception>
    public static void Check(LifeModelDescription model, [NotNull] LifeSample? sample, [NotNull] FitOptions? options)
    {
        ArgumentNullException.ThrowIfNull(sample);
        ArgumentNullException.ThrowIfNull(options);
        Check(model, options);
    }

    private static void CheckReplicates(FitOptions options)
    {
        // Of n samples and the sample itself at least one must lie beyond each bound.
        var fewest = Math.Max(FitOptions.FewestReplicates, Math.Ceiling(2 / (1 - options.ConfidenceLevel) - 1 - 1e-6));
        if (options.BoundsMethod == BoundsMethod.Bootstrap && options.Replicates is var n && !(n >= fewest && n <= FitOptions.MostReplicates))
        {
            throw new UnsupportedRequestException(
                "replicates",
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"Bootstrap bounds at this confidence level need {fewest:N0} to {FitOptions.MostReplicates:N0} replicates; got {n}."));
        }
    }

    /// <summary>Throws for a confidence level outside (0, 1).</summary>
    public static void CheckLevel(double level)
    {
        if (!(level > 0 && level < 1))
        {
            throw new UnsupportedRequestException(
                "confidence_level",
                $"The confidence level must be above 0 and below 1; got {level.ToString("R", CultureInfo.InvariantCulture)}.");
        }
    }
}
