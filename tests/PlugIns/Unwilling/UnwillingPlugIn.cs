using Reliability.Engine.Abstractions;

namespace Reliability.TestPlugIns.Unwilling;

/// <summary>Throws as soon as it is made.</summary>
public sealed class UnwillingPlugIn : ILifeModelPlugIn
{
    public UnwillingPlugIn() => throw new InvalidOperationException("I would rather not.");

    public string Id => "unwilling";

    public string Version => "1";

    public string Publisher => "The tests";
}
