namespace Reliability.Engine.Abstractions;

/// <summary>The scale on which a parameter is unbounded and bounds by normal approximation are made.</summary>
public enum ParameterTransform
{
    /// <summary>The parameter itself.</summary>
    Identity = 0,

    /// <summary>Its natural logarithm, for positive parameters.</summary>
    Log = 1,

    /// <summary>log(p / (1 - p)), for parameters between 0 and 1.</summary>
    Logit = 2,
}
