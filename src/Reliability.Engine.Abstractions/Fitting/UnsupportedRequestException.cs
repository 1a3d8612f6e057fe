namespace Reliability.Engine.Abstractions;

/// <summary>A request that this model can never answer whatever the data: an option out of range or one it does not have.</summary>
public sealed class UnsupportedRequestException : ArgumentException
{
    /// <summary>Makes the exception.</summary>
    /// <param name="option">The option at fault in the words of the API, for example <c>bounds_method</c> or <c>fixed_parameters[shape]</c>.</param>
    /// <param name="message">The rule that was broken, for the caller to read.</param>
    public UnsupportedRequestException(string option, string message)
        : base(message)
    {
        Option = option;
        Rule = message;
    }

    /// <summary>The option at fault.</summary>
    public string Option { get; }

    /// <summary>The rule that was broken, fit for a caller's eyes.</summary>
    public string Rule { get; }
}
