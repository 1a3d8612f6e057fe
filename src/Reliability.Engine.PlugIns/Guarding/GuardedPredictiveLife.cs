using Reliability.Engine.Abstractions;

namespace Reliability.Engine.PlugIns.Guarding;

/// <summary>A plugged-in prediction whose answers are checked.</summary>
internal sealed class GuardedPredictiveLife(IPredictiveLife inner, Guard guard) : IPredictiveLife
{
    public IReadOnlyList<EngineWarning> Warnings => guard.Run("warnings", () => inner.Warnings);

    public double Survival(double ageHours, double furtherHours)
    {
        Questions.CheckHours(ageHours);
        Questions.CheckHours(furtherHours);
        var survival = guard.Run("predicted survival", () => inner.Survival(ageHours, furtherHours));
        return survival is >= 0 and <= 1 ? survival : throw guard.Failed($"its predicted survival is {Guard.Text(survival)}");
    }

    public double? RemainingLife(double ageHours, double failureFraction)
    {
        Questions.CheckHours(ageHours);
        Questions.CheckFraction(failureFraction);
        double? hours = null;
        _ = guard.Run("predicted remaining life", () => (hours = inner.RemainingLife(ageHours, failureFraction), true));
        return hours is null or (> 0 and < double.PositiveInfinity)
            ? hours
            : throw guard.Failed($"its predicted remaining life is {Guard.Text(hours.Value)} h");
    }
}
