namespace Reliability.Engine.Abstractions;

/// <summary>The scale on which a parameter is unbounded and bounds by normal approximation are made.</summary>
public enum ParameterTransform
{
    /// <summary>The parameter itself.</summary>
    Identity = 0,

    /// <summary>Natural logarithm of its distance from its lower limit: of itself for positive parameters.</summary>
    Log = 1,

    /// <summary>log((p - lower) / (upper - p)), for parameters between two limits: log(p / (1 - p)) between 0 and 1.</summary>
    Logit = 2,
}
