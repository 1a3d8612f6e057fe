using Reliability.Engine.Abstractions;

namespace Reliability.Engine.PlugIns.Guarding;

/// <summary>A failure mode of a plugged-in model's fit, its answers checked.</summary>
internal sealed class GuardedMode(IFittedMode inner, IFittedLife life, Guard guard) : IFittedMode
{
    public string Name { get; } = inner.Name;

    public bool IsUnknown { get; } = inner.IsUnknown;

    public double FailureCount { get; } = inner.FailureCount;

    public IFittedLife Life { get; } = life;

    public double Incidence(double hours, CancellationToken cancellationToken = default)
    {
        Questions.CheckHours(hours);
        var fraction = guard.Run("incidence", () => inner.Incidence(hours, cancellationToken), cancellationToken);
        return fraction is >= 0 and <= 1 ? fraction : throw guard.Failed($"its incidence is {Guard.Text(fraction)}");
    }
}
