namespace Reliability.History.Identifiers;

/// <summary>What stands behind an application identifier.</summary>
internal enum ElementContent
{
    /// <summary>Characters of GS1's encodable character set 82.</summary>
    Text,

    /// <summary>Digits.</summary>
    Digits,

    /// <summary>Digits of which the last is a check digit.</summary>
    Key,

    /// <summary>A date as YYMMDD; day 00 is the last of the month.</summary>
    Date,
}
