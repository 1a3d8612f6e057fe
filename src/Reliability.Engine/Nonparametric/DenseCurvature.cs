namespace Reliability.Engine.Nonparametric;

/// <summary>
/// The same system as <see cref="CurvatureSystem"/> for few intervals, by Cholesky's method: its error does not depend on how far apart
/// the scales of the intervals are (Higham 2002, 10.1), so counts may lie many powers of ten apart.
/// </summary>
internal sealed class DenseCurvature(int[] first, int[] last, int size)
{
    private readonly double[,] _factor = new double[size, size];

    /// <summary>Takes the curvature of each row in the sum over its run and the diagonal, and factors.</summary>
    public void Set(double[] curvatures, double[] diagonal)
    {
        // Rows by their ends; then entry (j, k), j <= k, is the sum over rows that begin at j or before and end at k or after.
        Array.Clear(_factor);
        for (var i = 0; i < first.Length; i++)
            _factor[first[i], last[i]] += curvatures[i];
        for (var j = 0; j < size; j++)
        {
            for (var k = size - 2; k >= j; k--)
                _factor[j, k] += _factor[j, k + 1];
        }

        for (var j = 1; j < size; j++)
        {
            for (var k = j; k < size; k++)
                _factor[j, k] += _factor[j - 1, k];
        }

        for (var j = 0; j < size; j++)
            _factor[j, j] += diagonal[j];
        for (var j = 0; j < size; j++)
        {
            var pivot = Math.Sqrt(_factor[j, j]);
            for (var k = j; k < size; k++)
                _factor[j, k] /= pivot;
            for (var i = j + 1; i < size; i++)
            {
                for (var k = i; k < size; k++)
                    _factor[i, k] -= _factor[j, i] * _factor[j, k];
            }
        }
    }

    /// <summary>Solves.</summary>
    public void Solve(double[] rightSide, double[] solution)
    {
        for (var j = 0; j < size; j++)
        {
            var sum = rightSide[j];
            for (var i = 0; i < j; i++)
                sum -= _factor[i, j] * solution[i];
            solution[j] = sum / _factor[j, j];
        }

        for (var j = size - 1; j >= 0; j--)
        {
            var sum = solution[j];
            for (var k = j + 1; k < size; k++)
                sum -= _factor[j, k] * solution[k];
            solution[j] = sum / _factor[j, j];
        }
    }
}
