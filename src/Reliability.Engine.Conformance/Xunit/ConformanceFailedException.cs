namespace Reliability.Engine.Conformance;

/// <summary>Fails the test of a rule that is broken.</summary>
public sealed class ConformanceFailedException : Exception
{
    private ConformanceFailedException(ConformanceResult result)
        : base($"Rule {result.Rule}: {result.Demand} {result.Text}") => Result = result;

    /// <summary>The rule and what went wrong.</summary>
    public ConformanceResult Result { get; }

    internal static void Unless(ConformanceResult result)
    {
        if (result.Verdict == ConformanceVerdict.Broken)
            throw new ConformanceFailedException(result);
    }
}
