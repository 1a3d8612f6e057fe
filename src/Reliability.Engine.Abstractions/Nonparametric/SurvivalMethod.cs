namespace Reliability.Engine.Abstractions;

/// <summary>Which estimate without a life model it is.</summary>
public enum SurvivalMethod
{
    /// <summary>Kaplan-Meier: every failure at a known age.</summary>
    KaplanMeier,

    /// <summary>Turnbull: some failures known only between two ages.</summary>
    Turnbull,
}
