using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Conformance;

/// <summary>One rule of the contract, which can be tried on anything of its kind. Stateless.</summary>
/// <typeparam name="T"><see cref="FamilyUnderTest"/> or <see cref="LifeModelUnderTest"/>.</typeparam>
public sealed class ConformanceRule<T>
{
    private readonly Func<T, Finding> _try;

    internal ConformanceRule(string name, string demand, string reason, Func<T, Finding> attempt)
    {
        Name = name;
        Demand = demand;
        Reason = reason;
        _try = attempt;
    }

    /// <summary>Its name, lower case with hyphens; stable.</summary>
    public string Name { get; }

    /// <summary>What it demands.</summary>
    public string Demand { get; }

    /// <summary>Why: what goes wrong for users of a life model that breaks it.</summary>
    public string Reason { get; }

    /// <summary>Tries the rule.</summary>
    /// <param name="subject">What is tried.</param>
    /// <returns>What became of it. Never throws for what the subject does: an exception of its own breaks the rule that met it.</returns>
    public ConformanceResult Check(T subject)
    {
        ArgumentNullException.ThrowIfNull(subject);
        try
        {
            var finding = _try(subject);
            return new ConformanceResult(Name, Demand, finding.Verdict, finding.Text);
        }
        catch (BrokenRuleException broken)
        {
            return new ConformanceResult(Name, Demand, ConformanceVerdict.Broken, broken.Message);
        }
#pragma warning disable CA1031 // Whatever a foreign life model throws is a finding, not a fault of the kit.
        catch (Exception thrown)
#pragma warning restore CA1031
        {
            var text = thrown is LifeModelFailedException failed ? failed.Reason : thrown.Message;
            return new ConformanceResult(Name, Demand, ConformanceVerdict.Broken, $"It threw {thrown.GetType().Name}: {text}");
        }
    }
}
