using Reliability.Engine.Families;

namespace Reliability.Engine.Abstractions;

/// <summary>
/// Answers every question of a fitted life from a family, its estimated parameters and their covariance, for estimators that have nothing
/// better: each quantity and its standard error by the delta method, bounds by the normal approximation on the log scale for positive
/// quantities, on log(-log) for probabilities, on the parameter's own transform for parameters (Meeker and Escobar 1998, ch. 7-8 and B.2).
/// </summary>
public static class DeltaMethod
{
    /// <summary>Makes the fitted life.</summary>
    /// <param name="model">Description of the model that was fitted, with the parameters of <paramref name="family"/>.</param>
    /// <param name="family">The distribution. Means without a closed form are integrated from it.</param>
    /// <param name="estimate">Parameters, covariance and so on.</param>
    /// <param name="sample">The lives that were fitted: what lies beyond them is noted in the answers.</param>
    /// <param name="options">The options of the fit: parameters held there have no bounds.</param>
    /// <returns>The fitted life, whose bounds are <see cref="BoundsMethod.NormalApproximation"/> at the level of the options.</returns>
    /// <exception cref="ArgumentException">The parameters are not in their domains, or the covariance is not that of so many parameters,
    /// not finite (on the unbounded scales, too), not symmetric or not positive semidefinite, or the log-likelihood is not finite.</exception>
    public static IFittedLife Fitted(
        LifeModelDescription model, ILifeFamily family, FamilyEstimate estimate, LifeSample sample, FitOptions options)
    {
        ArgumentNullException.ThrowIfNull(model);
        ArgumentNullException.ThrowIfNull(family);
        ArgumentNullException.ThrowIfNull(estimate);
        ArgumentNullException.ThrowIfNull(sample);
        ArgumentNullException.ThrowIfNull(options);
        Check(model, family, estimate);
        var free = new FreeParameters(family.Parameters, options.FixedParameters);
        double[] natural = [.. estimate.Parameters];
        var point = free.Point(natural);
        return new FittedByDeltaMethod(model, family, estimate, sample, options, free, point, Root(free, point, estimate.Covariance));
    }

    private static void Check(LifeModelDescription model, ILifeFamily family, FamilyEstimate estimate)
    {
        if (!model.Parameters.Select(p => p.Name).SequenceEqual(family.Parameters.Select(p => p.Name)))
            throw new ArgumentException("The model must have the parameters of the family, in its order.", nameof(model));
        var count = family.Parameters.Count;
        if (estimate.Parameters.Count != count)
            throw new ArgumentException($"The family has {count} parameters; got {estimate.Parameters.Count}.", nameof(estimate));
        for (var i = 0; i < count; i++)
        {
            if (!family.Parameters[i].Allows(estimate.Parameters[i]))
                throw new ArgumentException($"{family.Parameters[i].Name} is not in its domain.", nameof(estimate));
        }

        if (estimate.LogLikelihood is { } value && !double.IsFinite(value))
            throw new ArgumentException("The log-likelihood must be finite, or null.", nameof(estimate));
        var covariance = estimate.Covariance;
        if (covariance.Count == 0)
            return;
        if (covariance.Count != count * count || !covariance.All(double.IsFinite))
            throw new ArgumentException($"The covariance must have {count * count} finite numbers, or none.", nameof(estimate));
        for (var i = 0; i < count; i++)
        {
            for (var j = 0; j < i; j++)
            {
                var (one, other) = (covariance[i * count + j], covariance[j * count + i]);
                if (Math.Abs(one - other) > 1e-8 * Math.Sqrt(Math.Abs(covariance[i * count + i] * covariance[j * count + j])))
                    throw new ArgumentException("The covariance must be symmetric.", nameof(estimate));
            }
        }
    }

    /// <summary>The Cholesky root of the covariance on the unbounded scales; null when there is none.</summary>
    private static double[,]? Root(FreeParameters free, double[] point, IReadOnlyList<double> covariance)
    {
        if (covariance.Count == 0)
            return null;
        var (n, all) = (free.Count, (int)Math.Sqrt(covariance.Count));
        var root = new double[n, n];
        double Scaled(int i, int j)
        {
            var natural = covariance[free.IndexOf(i) * all + free.IndexOf(j)];
            var scaled = natural == 0 ? 0 : natural / free.Slope(i, point[i]) / free.Slope(j, point[j]);
            return double.IsFinite(scaled)
                ? scaled
                : throw new ArgumentException("The covariance must be finite on the scales on which the parameters are unbounded.", nameof(covariance));
        }

        double Variance(int i) => Math.Max(Scaled(i, i), 0);
        for (var i = 0; i < n; i++)
        {
            for (var j = 0; j <= i; j++)
            {
                var sum = Scaled(i, j);
                var size = Math.Abs(sum);
                for (var k = 0; k < j; k++)
                    sum -= root[i, k] * root[j, k];
                // What a pivot of nothing leaves beside it is at most the root of what rounding may leave of the pivot.
                if (i == j ? sum < -1e-8 * size : root[j, j] == 0 && Math.Abs(sum) > 1e-4 * Math.Sqrt(Variance(i) * Variance(j)))
                    throw new ArgumentException("The covariance must be positive semidefinite.", nameof(covariance));
                root[i, j] = i == j ? Math.Sqrt(Math.Max(sum, 0)) : root[j, j] > 0 ? sum / root[j, j] : 0;
            }
        }

        return root;
    }
}
