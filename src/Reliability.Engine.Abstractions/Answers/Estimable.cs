using System.Diagnostics.CodeAnalysis;

namespace Reliability.Engine.Abstractions;

/// <summary>An answer, or the reason why the data do not allow one.</summary>
/// <typeparam name="T">Type of the answer.</typeparam>
public sealed class Estimable<T>
    where T : class
{
    private readonly T? _value;

    private Estimable(T? value, NotEstimable? notEstimable)
    {
        _value = value;
        NotEstimable = notEstimable;
    }

    /// <summary>Why there is no answer; null when there is one.</summary>
    public NotEstimable? NotEstimable { get; }

    /// <summary>The answer.</summary>
    /// <exception cref="InvalidOperationException">There is none; see <see cref="NotEstimable"/>.</exception>
    public T Value => _value ?? throw new InvalidOperationException($"Not estimable: {NotEstimable!.Reason}. {NotEstimable.Text}");

    /// <summary>Whether there is an answer, and what it is.</summary>
    /// <param name="value">The answer, when there is one.</param>
    /// <param name="notEstimable">The reason, when there is none.</param>
    /// <returns>True when there is an answer.</returns>
    public bool TryGet([NotNullWhen(true)] out T? value, [NotNullWhen(false)] out NotEstimable? notEstimable)
    {
        value = _value;
        notEstimable = NotEstimable;
        return value is not null;
    }

    /// <summary>Wraps an answer.</summary>
    /// <param name="value">The answer.</param>
    public static implicit operator Estimable<T>(T value) => new(value ?? throw new ArgumentNullException(nameof(value)), null);

    /// <summary>Wraps a reason.</summary>
    /// <param name="reason">The reason.</param>
    public static implicit operator Estimable<T>(NotEstimable reason) => new(null, reason ?? throw new ArgumentNullException(nameof(reason)));

    /// <summary>Wraps an answer (for types that cannot be converted implicitly, such as interfaces).</summary>
    /// <param name="value">The answer.</param>
    /// <returns>The wrapped answer.</returns>
    [SuppressMessage("Design", "CA1000", Justification = "Reads as Estimable<T>.Of where the type must be named.")]
    public static Estimable<T> Of(T value) => value;
}
