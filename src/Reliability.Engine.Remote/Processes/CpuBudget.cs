namespace Reliability.Engine.Remote.Processes;

/// <summary>
/// Processor time that may be used: it grows by the limit with each second that passes, up to what some seconds bring, and shrinks by
/// what is used. Overdrawn, its owner is to be held until there is some again.
/// </summary>
/// <param name="processors">Processors that may be used on average.</param>
internal sealed class CpuBudget(double processors)
{
    // What may be used at once: a start loads a lot.
    private const double BurstSeconds = 3, Resume = 0.1;

    private double _seconds = processors * BurstSeconds;

    /// <summary>Whether the owner is to be held.</summary>
    public bool IsOverdrawn { get; private set; }

    /// <summary>Takes in that time has passed.</summary>
    /// <param name="passed">Seconds of the clock.</param>
    /// <param name="used">Seconds of processors.</param>
    public void Pass(double passed, double used)
    {
        _seconds = Math.Min(processors * BurstSeconds, _seconds + processors * passed - Math.Max(0, used));
        IsOverdrawn = IsOverdrawn ? _seconds < Resume * processors : _seconds < 0;
    }
}
