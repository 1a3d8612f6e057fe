namespace Reliability.Engine.Families;

/// <summary>
/// Eigenvalues and vectors of a small symmetric matrix by Jacobi's rotations (Golub and Van Loan 1996, 8.4), which end
/// for any finite matrix. (MathNet's decomposition was seen to run out of its arrays on badly scaled ones.)
/// </summary>
internal static class SymmetricEigen
{
    private const int MostSweeps = 60;

    /// <summary>The values and, as columns, the vectors.</summary>
    public static (double[] Values, double[,] Vectors) Of(double[,] matrix)
    {
        var n = matrix.GetLength(0);
        double size = 0;
        foreach (var x in matrix)
            size = Math.Max(size, Math.Abs(x));
        var a = new double[n, n];
        var vectors = new double[n, n];
        for (var i = 0; i < n; i++)
        {
            vectors[i, i] = 1;
            for (var j = 0; j < n; j++)
                a[i, j] = size > 0 ? (matrix[i, j] / size + matrix[j, i] / size) / 2 : 0;
        }

        for (var sweep = 0; sweep < MostSweeps; sweep++)
        {
            double off = 0;
            for (var p = 0; p < n; p++)
            {
                for (var q = p + 1; q < n; q++)
                {
                    off = Math.Max(off, Math.Abs(a[p, q]));
                    if (a[p, q] != 0)
                        Rotate(a, vectors, p, q);
                }
            }

            if (off < 1e-30)
                break;
        }

        var values = new double[n];
        for (var i = 0; i < n; i++)
            values[i] = a[i, i] * size;
        return (values, vectors);
    }

    private static void Rotate(double[,] a, double[,] vectors, int p, int q)
    {
        var theta = (a[q, q] - a[p, p]) / (2 * a[p, q]);
        var t = double.IsInfinity(theta) ? 0 : (theta >= 0 ? 1 : -1) / (Math.Abs(theta) + Math.Sqrt(theta * theta + 1));
        var c = 1 / Math.Sqrt(t * t + 1);
        var s = t * c;
        var n = a.GetLength(0);
        for (var k = 0; k < n; k++)
            (a[k, p], a[k, q]) = (c * a[k, p] - s * a[k, q], s * a[k, p] + c * a[k, q]);
        for (var k = 0; k < n; k++)
            (a[p, k], a[q, k]) = (c * a[p, k] - s * a[q, k], s * a[p, k] + c * a[q, k]);
        for (var k = 0; k < n; k++)
            (vectors[k, p], vectors[k, q]) = (c * vectors[k, p] - s * vectors[k, q], s * vectors[k, p] + c * vectors[k, q]);
        a[p, q] = a[q, p] = 0;
    }
}
