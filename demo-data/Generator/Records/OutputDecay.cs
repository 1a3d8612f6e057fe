using Reliability.DemoData.Simulation;

namespace Reliability.DemoData.Records;

/// <summary>
/// The output of one life: it falls exponentially with age, and passes the threshold exactly at the end of the true life
/// when that is how the module fails; else it stays above until long after.
/// </summary>
internal sealed class OutputDecay
{
    private const double LongAfter = 1.3;
    private readonly ServiceLife _life;
    private readonly double _whenNew;
    private readonly double _hoursToThreshold;

    /// <summary>The output of a life that began with the given output in the model's unit.</summary>
    public OutputDecay(ServiceLife life, double whenNew)
    {
        _life = life;
        _whenNew = whenNew;
        _hoursToThreshold = life.Mode.ByOutput
            ? life.TrueHours
            : LongAfter * Math.Max(life.TrueHours, life.Module.Family.RatedHours);
    }

    /// <summary>What the meter shows, in tenths, rounded down so that no failed module shows the threshold itself.</summary>
    public double MeasuredAt(int minute)
    {
        var threshold = _life.Module.Family.OutputThreshold;
        var output = _whenNew * Math.Pow(threshold / _whenNew, _life.AgeAt(minute) / _hoursToThreshold);
        var shown = Math.Floor(output * 10) / 10;
        var foundLow = _life.Outcome == LifeEnd.FoundFailed && _life.Mode.ByOutput && minute >= _life.End;
        return foundLow ? Math.Min(shown, threshold - 0.1) : Math.Max(shown, threshold);
    }
}
