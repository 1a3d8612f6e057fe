using Reliability.Engine.Abstractions;
using Reliability.Engine.Kernels;

namespace Reliability.Engine.LocationScale;

/// <summary>The sums of <see cref="LogTimeLikelihood"/>, compiled once a distribution so that its functions are inlined.</summary>
internal sealed class LogTimeLikelihood<T>(LogTimeSample sample) : LogTimeLikelihood(sample)
    where T : struct, IStandardDistribution
{
    [ThreadStatic]
    private static LogTimeRows? _block;

    private readonly PowersNearby? _nearby =
        default(T) is SmallestExtremeValue && sample is { IsHeld: false, Lives: { HasIntervals: false, HasLateEntry: false } }
        && double.IsFinite(1 / sample.Axis.ReferenceHours)
            ? new PowersNearby(sample.Lives, sample.Axis)
            : null;

    public override IStandardDistribution Distribution => default(T);

    public override LikelihoodPoint Evaluate(double u, double v, CancellationToken cancellationToken)
    {
        if (!(u > 0) || !double.IsFinite(v))
            return LikelihoodPoint.OutOfDomain;
        cancellationToken.ThrowIfCancellationRequested();
        if (_nearby is not null)
            return _nearby.At(u, v, cancellationToken);
        var point = Sample.IsHeld
            ? Sums(Sample.Rows, u, v)
            : Segments.Sum(
                Sample.Lives.RowCount,
                (ref LikelihoodPoint sum, int from, int end) =>
                {
                    var block = _block ??= new LogTimeRows();
                    block.Fill(Sample.Lives, Sample.Axis, from, end, 1);
                    sum.Add(1, Sums(block, u, v));
                },
                (ref LikelihoodPoint total, in LikelihoodPoint sum) => total.Add(1, sum),
                cancellationToken);

        // The density of z, times dz/dt = u / t, is that of the hours.
        point.Value += Sample.TotalFailed * (Math.Log(u) - Sample.Axis.LogReference);
        point.GradientU += Sample.TotalFailed / u;
        point.HessianUU -= Sample.TotalFailed / (u * u);
        return point;
    }

    public override double LogSurvival(ReadOnlySpan<double> x, ReadOnlySpan<double> count, double u, double v) =>
        (Width.Is512 ? RowKernels<T, Lanes512>.Survived(x, count, u, v)
        : Width.Is256 ? RowKernels<T, Lanes256>.Survived(x, count, u, v)
        : RowKernels<T, Lanes128>.Survived(x, count, u, v)).Value;

    public override void LogSurvivals(ReadOnlySpan<double> u, ReadOnlySpan<double> v, double x, Span<double> log) =>
        MixtureKernels.LogSurvival<T>(u, v, x, log);

    public override LogTimeLikelihood OfFew() => new LogTimeLikelihood<T>(Sample.Few());

    public override LogTimeLikelihood Of(LifeSample sample) => Create<T>(sample);

    private static LikelihoodPoint Sums(LogTimeRows rows, double u, double v) =>
        Width.Is512 ? Sums<Lanes512>(rows, u, v)
        : Width.Is256 ? Sums<Lanes256>(rows, u, v)
        : Sums<Lanes128>(rows, u, v);

    private static LikelihoodPoint Sums<TLanes>(LogTimeRows rows, double u, double v)
        where TLanes : struct, ILanes<TLanes>
    {
        var point = RowKernels<T, TLanes>.Failed(rows.FailedX, rows.FailedCount, u, v);
        point.Add(1, RowKernels<T, TLanes>.Survived(rows.SurvivedX, rows.SurvivedCount, u, v));
        if (rows.LowerX.Length > 0)
            point.Add(1, RowKernels<T, TLanes>.Between(rows, u, v));
        if (rows.EntryX.Length > 0)
            point.Add(-1, RowKernels<T, TLanes>.Survived(rows.EntryX, rows.EntryCount, u, v));
        return point;
    }
}
