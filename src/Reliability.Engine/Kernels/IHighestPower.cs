namespace Reliability.Engine.Kernels;

/// <summary>How many powers a pass sums, as a type: the loop over lives is compiled for each.</summary>
internal interface IHighestPower
{
    /// <summary>The highest power: 3 or 8.</summary>
    static abstract int Power { get; }
}

/// <summary>What a step of Halley's method asks for.</summary>
internal readonly struct ToThird : IHighestPower
{
    public static int Power => 3;
}

/// <summary>What Taylor's series nearby asks for.</summary>
internal readonly struct ToEighth : IHighestPower
{
    public static int Power => 8;
}
