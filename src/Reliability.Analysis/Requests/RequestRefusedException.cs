namespace Reliability.Analysis;

/// <summary>
/// A question that can never be answered whatever the data: an unknown life model, an option out of range or one the
/// model does not have. What the data do not allow is a <see cref="Reliability.Engine.Abstractions.NotEstimable"/> instead.
/// </summary>
public sealed class RequestRefusedException : ArgumentException
{
    /// <summary>Makes the exception.</summary>
    /// <param name="reason">A code of <see cref="RefusalReasons"/>.</param>
    /// <param name="field">The field at fault in the words of the API, for example <c>failure_fractions[2]</c>.</param>
    /// <param name="rule">The rule that was broken, for the caller to read.</param>
    public RequestRefusedException(string reason, string field, string rule)
        : base($"{field}: {rule}")
    {
        Reason = reason;
        Field = field;
        Rule = rule;
    }

    /// <summary>A code of <see cref="RefusalReasons"/>.</summary>
    public string Reason { get; }

    /// <summary>The field at fault in the words of the API.</summary>
    public string Field { get; }

    /// <summary>The rule that was broken, fit for a caller's eyes.</summary>
    public string Rule { get; }
}
