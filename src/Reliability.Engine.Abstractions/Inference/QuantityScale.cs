namespace Reliability.Engine.Quantities;

/// <summary>The scale on which a quantity is nearly normal and its bounds are made.</summary>
internal enum QuantityScale
{
    /// <summary>The number itself.</summary>
    Identity,

    /// <summary>The logarithm of a positive number.</summary>
    Log,

    /// <summary>log(-log R) of a survival probability.</summary>
    Survival,

    /// <summary>log(-log(1 - F)) of a failed fraction.</summary>
    Failure,

    /// <summary>log(p / (1 - p)) of a share.</summary>
    Logit,
}
