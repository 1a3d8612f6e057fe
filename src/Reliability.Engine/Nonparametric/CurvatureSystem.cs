namespace Reliability.Engine.Nonparametric;

/// <summary>
/// Solves (H + diag(d)) x = r, where H is the curvature of a <see cref="HazardLikelihood"/>. In running sums of x it is a
/// network: a row pulls together the sums at its two ends, and d pulls together neighbours. Conjugate gradients, with the
/// network of neighbours alone as preconditioner; where rows are points, survivors or failures found before an age that is
/// the whole network, and one step solves it (Golub and Van Loan 2013, 11.5). Few intervals are solved for directly.
/// </summary>
internal sealed class CurvatureSystem
{
    private const int GreatestSteps = 400;
    private const int Few = 100;

    private readonly DenseCurvature? _dense;
    private readonly int[] _first;
    private readonly int[] _last;
    private readonly int _size;
    private readonly double[] _pulls;
    private readonly double[] _neighbour;
    private readonly double[] _ratio;
    private readonly double[] _pivot;
    private readonly double[] _residual;
    private readonly double[] _direction;
    private readonly double[] _image;
    private readonly double[] _sums;
    private readonly double[] _scaled;

    /// <summary>A system for rows that cover runs of intervals.</summary>
    /// <param name="first">First interval of each run.</param>
    /// <param name="last">Last interval of each run.</param>
    /// <param name="size">Number of intervals.</param>
    public CurvatureSystem(int[] first, int[] last, int size)
    {
        _dense = size <= Few ? new DenseCurvature(first, last, size) : null;
        _first = first;
        _last = last;
        _size = size;
        _pulls = new double[first.Length];
        _neighbour = new double[_size];
        _ratio = new double[_size];
        _pivot = new double[_size];
        _residual = new double[_size];
        _direction = new double[_size];
        _image = new double[_size];
        _sums = new double[_size];
        _scaled = new double[_size];
    }

    /// <summary>Takes the curvature at a point and the diagonal.</summary>
    /// <param name="curvatures">Curvature of each row in the sum over its run, 0 or more.</param>
    /// <param name="diagonal">What is added to the curvature, above 0.</param>
    public void Set(double[] curvatures, double[] diagonal)
    {
        if (_dense is not null)
        {
            _dense.Set(curvatures, diagonal);
            return;
        }

        var (first, last) = (_first, _last);
        diagonal.CopyTo(_neighbour, 0);
        var ground = _scaled;
        Array.Clear(ground);
        for (var i = 0; i < _pulls.Length; i++)
        {
            var pull = curvatures[i];
            _pulls[i] = pull;
            if (first[i] == last[i])
            {
                _neighbour[first[i]] += pull;
                continue;
            }

            ground[last[i]] += pull;
            if (first[i] > 0)
                ground[first[i] - 1] += pull;
        }

        // Eliminated from the left in conductances, which are only added and multiplied: no digits cancel.
        var carried = ground[0] + _neighbour[0];
        for (var j = 0; j < _size - 1; j++)
        {
            _pivot[j] = carried + _neighbour[j + 1];
            _ratio[j] = _neighbour[j + 1] / _pivot[j];
            carried = ground[j + 1] + carried * _ratio[j];
        }

        _pivot[_size - 1] = carried;
    }

    /// <summary>Solves to a relative residual; an inexact answer is still a direction of ascent.</summary>
    /// <param name="rightSide">What stands on the right, by interval.</param>
    /// <param name="solution">Gets the solution, by interval.</param>
    /// <param name="tolerance">Relative residual to stop at, in the norm of the preconditioner.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public void Solve(double[] rightSide, double[] solution, double tolerance, CancellationToken cancellationToken)
    {
        if (_dense is not null)
        {
            _dense.Solve(rightSide, solution);
            return;
        }

        for (var j = 0; j < _size; j++)
            _residual[j] = j + 1 < _size ? rightSide[j] - rightSide[j + 1] : rightSide[j];
        Array.Clear(_sums);
        Precondition();
        var product = Product(_residual, _scaled);
        var goal = product * tolerance * tolerance;
        _scaled.CopyTo(_direction, 0);
        for (var step = 0; step < GreatestSteps && product > goal && product > 0; step++)
        {
            if (step % 16 == 0)
                cancellationToken.ThrowIfCancellationRequested();
            Apply();
            var curvature = Product(_direction, _image);
            if (!(curvature > 0))
                break;
            var length = product / curvature;
            for (var j = 0; j < _size; j++)
            {
                _sums[j] += length * _direction[j];
                _residual[j] -= length * _image[j];
            }

            Precondition();
            var next = Product(_residual, _scaled);
            var share = next / product;
            for (var j = 0; j < _size; j++)
                _direction[j] = _scaled[j] + share * _direction[j];
            product = next;
        }

        for (var j = 0; j < _size; j++)
            solution[j] = j == 0 ? _sums[0] : _sums[j] - _sums[j - 1];
    }

    /// <summary>The network's pull on the direction.</summary>
    private void Apply()
    {
        for (var j = 0; j < _size; j++)
        {
            var here = (_direction[j] - (j == 0 ? 0 : _direction[j - 1])) * _neighbour[j];
            _image[j] = here;
            if (j > 0)
                _image[j - 1] -= here;
        }

        var (first, last) = (_first, _last);
        for (var i = 0; i < _pulls.Length; i++)
        {
            int a = first[i], b = last[i];
            if (a == b)
                continue;
            var pull = _pulls[i] * (a == 0 ? _direction[b] : _direction[b] - _direction[a - 1]);
            _image[b] += pull;
            if (a > 0)
                _image[a - 1] -= pull;
        }
    }

    private void Precondition()
    {
        _scaled[0] = _residual[0];
        for (var j = 1; j < _size; j++)
            _scaled[j] = _residual[j] + _ratio[j - 1] * _scaled[j - 1];
        _scaled[_size - 1] /= _pivot[_size - 1];
        for (var j = _size - 2; j >= 0; j--)
            _scaled[j] = _scaled[j] / _pivot[j] + _ratio[j] * _scaled[j + 1];
    }

    private static double Product(double[] a, double[] b)
    {
        var sum = 0.0;
        for (var j = 0; j < a.Length; j++)
            sum += a[j] * b[j];
        return sum;
    }
}
