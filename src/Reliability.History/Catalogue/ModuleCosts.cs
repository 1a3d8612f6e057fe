namespace Reliability.History.Catalogue;

/// <summary>What modules and their failures cost, in one currency.</summary>
public sealed record ModuleCosts
{
    /// <summary>ISO 4217 code of the currency.</summary>
    public required string CurrencyCode { get; init; }

    /// <summary>A new module; null when unknown.</summary>
    public double? NewModule { get; init; }

    /// <summary>A refurbished module; null when unknown.</summary>
    public double? RefurbishedModule { get; init; }

    /// <summary>A planned replacement, without the module; null when unknown.</summary>
    public double? PlannedReplacement { get; init; }

    /// <summary>A failure in service, without the module; null when unknown.</summary>
    public double? Failure { get; init; }
}
