using Reliability.Engine.Abstractions;
using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Resampling;

/// <summary>Draws samples of a plan from any life.</summary>
/// <param name="plan">How samples come about.</param>
/// <param name="axis">The axis of the plan.</param>
internal sealed class SampleDrawer(ReplicatePlan plan, LogTimeAxis axis)
{
    /// <summary>A sample of a life.</summary>
    public LifeSample Draw(ISimulatedLife simulated, ulong seed, int replicate)
    {
        var builder = new LifeSampleBuilder(Math.Max(plan.Lives.Length, 2 * plan.Watched.Length));
        var stream = new ReplicateStream(seed, replicate);
        if (plan.IsFailureTerminated)
            DrawByFailures(builder, simulated, stream);
        else
            DrawByTime(builder, simulated, stream, new ReplicateStream(seed, replicate, 1), new ReplicateStream(seed, replicate, 2));
        return builder.Build();
    }

    private void DrawByFailures(LifeSampleBuilder builder, ISimulatedLife simulated, ReplicateStream stream)
    {
        double hazard = 0;
        for (var i = 0; i < plan.Watched.Length; i++)
        {
            hazard -= Math.Log(stream.Next()) / plan.Watched[i];
            var hours = Hours(simulated.PositionAt(hazard));
            builder.AddFailed(Beyond(hours, 0));
            if (plan.Ending[i] > 1)
                builder.AddSurvived(Beyond(hours, 0), 0, plan.Ending[i] - 1);
        }
    }

    private void DrawByTime(
        LifeSampleBuilder builder, ISimulatedLife simulated, ReplicateStream stream, ReplicateStream ends, ReplicateStream inspections)
    {
        foreach (var life in plan.Lives)
        {
            // A life that entered alive has the hazard of its entry behind it.
            var hazard = -Math.Log(stream.Next());
            var late = double.IsFinite(life.Entry);
            if (late)
                hazard += simulated.HazardAt(life.Entry);
            var x = simulated.PositionAt(hazard);
            var end = double.IsNaN(life.End) ? plan.End(life, ends.Next()) : life.End;
            var entry = late ? Hours(life.Entry) : 0;
            if (x > end)
                builder.AddSurvived(Beyond(Hours(end), entry), entry);
            else if (plan.Inspections is { } seen && inspections.Next() < seen.Share)
                AddInspected(builder, seen.Drawn(x, inspections.Next(), inspections.Next()), entry);
            else
                builder.AddFailed(Beyond(Hours(x), entry), entry);
        }
    }

    private void AddInspected(LifeSampleBuilder builder, (double Lower, double Upper) between, double entry)
    {
        var lower = Math.Max(entry, Hours(between.Lower));
        if (double.IsPositiveInfinity(between.Upper))
            builder.AddSurvived(Beyond(lower, entry), entry);
        else
            builder.AddBetween(lower, Beyond(Hours(between.Upper), lower), entry);
    }

    private double Hours(double x) => Math.Clamp(axis.ReferenceHours * Math.Exp(x), 0, double.MaxValue);

    /// <summary>Rounding must not put an end onto what lies before it.</summary>
    private static double Beyond(double hours, double from) => Math.Max(hours, from > 0 ? Math.BitIncrement(from) : double.Epsilon);
}
