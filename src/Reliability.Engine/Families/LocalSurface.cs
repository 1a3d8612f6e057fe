namespace Reliability.Engine.Families;

/// <summary>
/// A likelihood in the coordinates a around a point: point + root a. Its derivatives come from the family's own where it gives them, and
/// from differences of values where it does not, or where they are not finite.
/// </summary>
internal sealed class LocalSurface(Surface surface, double[] point, double[,] root, CancellationToken cancellationToken)
{
    /// <summary>The log-likelihood.</summary>
    public double Value(double[] at) => surface.At(FreeParameters.Moved(point, root, at), cancellationToken);

    /// <summary>The gradient; by differences from three lengths of step, the longest of them given.</summary>
    public double[] Gradient(double[] at, double step) => Score(at) ?? Differences.Gradient(Value, at, step);

    /// <summary>Gradient and Hessian from one length of step; not finite where the likelihood is not.</summary>
    public (double[] Gradient, double[,] Hessian) Quick(double[] at, double value, double step) =>
        Score(at) is { } gradient && Differences.OfGradient(Score, at, step) is { } hessian
            ? (gradient, hessian)
            : Differences.Quick(Value, at, value, step);

    /// <summary>The Hessian from three lengths of step, the longest of them given.</summary>
    public double[,] Hessian(double[] at, double value, double step) =>
        Differences.ExtrapolatedOfGradient(Score, at, step) ?? Differences.Hessian(Value, at, value, step);

    private double[]? Score(double[] at) => surface.Score(FreeParameters.Moved(point, root, at), root, cancellationToken);
}
