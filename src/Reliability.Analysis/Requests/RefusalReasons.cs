namespace Reliability.Analysis;

/// <summary>Reason codes of <see cref="RequestRefusedException"/>.</summary>
public static class RefusalReasons
{
    /// <summary>No life model has that id.</summary>
    public const string UnknownLifeModel = "UNKNOWN_LIFE_MODEL";

    /// <summary>The life model does not have that option.</summary>
    public const string UnsupportedOption = "UNSUPPORTED_OPTION";

    /// <summary>A number lies outside its range.</summary>
    public const string OutOfRange = "OUT_OF_RANGE";

    /// <summary>The question asks for more than is answered in one call.</summary>
    public const string TooLarge = "TOO_LARGE";
}
