namespace Reliability.Engine.Families;

/// <summary>
/// A likelihood in the coordinates a around a point: point + root a. Its derivatives come from the family's own where it gives them, and
/// from differences of values where it does not, or where they are not finite.
/// </summary>
internal sealed class LocalSurface(Surface surface, double[] point, double[,] root, CancellationToken cancellationToken)
{
    /// <summary>The log-likelihood.</summary>
    public double Value(double[] at) => surface.At(Place(at), cancellationToken);

    /// <summary>Tells a family in another process all that will be asked around a place.</summary>
    public void Foretell(double[] at, double step) => surface.Expecting(Place)?.Invoke(Around(at, step));

    /// <summary>Where all differences with a length of step around a place ask.</summary>
    public static IReadOnlyList<double[]> Around(double[] at, double step)
    {
        IReadOnlyList<double[]> points = [];
        Differences.Foretold(
            f => (f(at), Differences.Gradient(f, at, step), Differences.Quick(f, at, 0, step)), _ => 0, asked => points = asked);
        return points;
    }

    /// <summary>The gradient; by differences from three lengths of step, the longest of them given.</summary>
    public double[] Gradient(double[] at, double step) => Score(at) ?? Foretold(f => Differences.Gradient(f, at, step));

    /// <summary>Gradient and Hessian from one length of step; not finite where the likelihood is not.</summary>
    public (double[] Gradient, double[,] Hessian) Quick(double[] at, double value, double step) =>
        Score(at) is { } gradient && Differences.OfGradient(Score, at, step) is { } hessian
            ? (gradient, hessian)
            : Foretold(f => Differences.Quick(f, at, value, step));

    /// <summary>The Hessian from three lengths of step, the longest of them given.</summary>
    public double[,] Hessian(double[] at, double value, double step) =>
        Differences.ExtrapolatedOfGradient(Score, at, step) ?? Foretold(f => Differences.Hessian(f, at, value, step));

    private T Foretold<T>(Func<Func<double[], double>, T> differences) => Differences.Foretold(differences, Value, surface.Expecting(Place));

    private double[] Place(double[] at) => FreeParameters.Moved(point, root, at);

    private double[]? Score(double[] at) => surface.Score(Place(at), root, cancellationToken);
}
