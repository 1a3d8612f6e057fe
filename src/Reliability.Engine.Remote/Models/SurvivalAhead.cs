namespace Reliability.Engine.Remote.Models;

/// <summary>
/// Spares a likelihood half its calls: it asks the log density at the failures and then, at the same parameters, the log reliability at the
/// survivors, and that for one set of parameters after the other. Once that was seen on a thread, the ages of the second question are sent
/// along with the first, and its answer is there before it is asked. Families are pure functions, so the answer is the same.
/// </summary>
internal sealed class SurvivalAhead
{
    private const int MostAges = 4096;

    [ThreadStatic]
    private static SurvivalAhead? _ofThread;

    private readonly RemoteFamily _family;
    private double[] _densityAt = [], _answeredAt = [], _expected = [], _answer = [];

    private SurvivalAhead(RemoteFamily family) => _family = family;

    /// <summary>Ages at which the log reliability will be asked next; none when nothing is known of it.</summary>
    public ReadOnlySpan<double> Expected => _expected;

    /// <summary>What this thread has asked of a family.</summary>
    public static SurvivalAhead Of(RemoteFamily family) =>
        _ofThread is { } known && ReferenceEquals(known._family, family) ? known : _ofThread = new SurvivalAhead(family);

    /// <summary>Keeps the answer to the question that is expected.</summary>
    /// <param name="parameters">The parameters that it was asked at.</param>
    /// <param name="fill">Fills it in.</param>
    public void Keep(ReadOnlySpan<double> parameters, Action<double[]> fill)
    {
        if (_expected.Length == 0)
            return;
        _answeredAt = [];
        if (_answer.Length != _expected.Length)
            _answer = new double[_expected.Length];
        fill(_answer);
        _answeredAt = parameters.ToArray();
    }

    /// <summary>Notes that the log density was asked.</summary>
    public void Density(ReadOnlySpan<double> parameters) => _densityAt = parameters.ToArray();

    /// <summary>Answers a question of log reliabilities if its answer is there, and learns from it what to expect.</summary>
    /// <returns>Whether it was answered.</returns>
    public bool TryTake(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
    {
        var isThere = _answeredAt.Length > 0 && parameters.SequenceEqual(_answeredAt) && hours.SequenceEqual(_expected);
        if (isThere)
            _answer.CopyTo(result);
        else
            _expected = hours.Length <= MostAges && _densityAt.Length > 0 && parameters.SequenceEqual(_densityAt) ? hours.ToArray() : [];
        (_densityAt, _answeredAt) = ([], []);
        return isThere;
    }
}
