using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Nonparametric;

/// <summary>
/// Cumulative incidence by failure mode (Aalen and Johansen 1978): the sum over ages u of R(u-) d_k(u)/n(u). The variance is
/// that of a multinomial draw at each risk set, carried through by the delta method (Dinse and Larson 1986); with F = F_k it is
/// sum (F(t) - F(u))^2 d/(n (n - d)) + sum R(u-)^2 d_k (n - d_k)/n^3 - 2 sum (F(t) - F(u)) R(u-) d_k/n^2.
/// </summary>
internal static class AalenJohansen
{
    public static IReadOnlyList<ModeIncidence> Of(LifeSample sample, double multiple, CancellationToken cancellationToken)
    {
        var curve = KaplanMeier.Of(sample);
        var hours = curve.Sets.Hours;
        var names = sample.FailureModeNames;

        // One pass over the rows sorts the failures out by mode, unknown last.
        var byMode = new Dictionary<int, double>[names.Count + 1];
        for (var i = 0; i < sample.RowCount; i++)
        {
            if (sample.Outcomes[i] != LifeOutcome.Failed)
                continue;
            var mode = sample.FailureModes.IsEmpty || sample.FailureModes[i] < 0 ? names.Count : sample.FailureModes[i];
            var at = Array.BinarySearch(hours, sample.LowerHours[i]);
            var failures = byMode[mode] ??= [];
            failures[at] = failures.GetValueOrDefault(at) + sample.Counts[i];
        }

        var incidences = new List<ModeIncidence>();
        for (var mode = 0; mode < byMode.Length; mode++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            if (byMode[mode] is { } failures)
                incidences.Add(new(mode < names.Count ? names[mode] : null, Points(curve, failures, multiple)));
        }

        return incidences;
    }

    private static List<IncidencePoint> Points(KaplanMeier curve, Dictionary<int, double> failuresOfMode, double multiple)
    {
        var sets = curve.Sets;
        var points = new List<IncidencePoint>(failuresOfMode.Count);
        double incidence = 0, own = 0;

        // Sums over u of A(u) (F(t) - F(u))^k, A = d/(n (n - d)), and of B(u) (F(t) - F(u))^k, B = R(u-) d_k/n^2: moved along
        // as F grows, so that no large terms cancel.
        double a0 = 0, a1 = 0, a2 = 0, b0 = 0, b1 = 0;
        for (var k = 0; k < sets.Hours.Length; k++)
        {
            var (n, d) = (sets.AtRisk[k], sets.Failures[k]);
            var before = k == 0 ? 1 : curve.Reliability[k - 1];
            var isOwn = failuresOfMode.TryGetValue(k, out var failed);
            if (isOwn)
            {
                // Rounding of fractional counts must not let more fail by a mode than fail at all.
                failed = Math.Min(failed, d);
                var share = failed / n;
                var rise = before * share;
                incidence += rise;
                a2 += rise * (2 * a1 + rise * a0);
                a1 += rise * a0;
                b1 += rise * b0;
                own += before * before * share * (1 - share) / n;
                b0 += before * share / n;
            }

            // Where all at risk fail nothing comes after, and the term would only ever be multiplied by 0.
            if (n > d)
                a0 += d / n / (n - d);
            if (isOwn)
                points.Add(new(sets.Hours[k], failed, At(Math.Min(incidence, 1), own + a2 - 2 * b1, multiple)));
        }

        return points;
    }

    private static BoundedEstimate At(double incidence, double variance, double multiple)
    {
        // A variance within rounding of 0 is none.
        if (!(variance > 1e-15 * incidence * incidence) || incidence >= 1)
        {
            return new BoundedEstimate
            {
                Value = incidence,
                Notes = [new EngineWarning(
                    WarningCodes.NoBounds, "Every life failed by this mode at once or none is left: the variance is not defined.")],
            };
        }

        var error = Math.Sqrt(variance);
        var spread = multiple * error / (incidence * -Math.Log(incidence));
        return new BoundedEstimate
        {
            Value = incidence,
            Lower = Math.Pow(incidence, Math.Exp(spread)),
            Upper = Math.Pow(incidence, Math.Exp(-spread)),
            StandardError = error,
        };
    }
}
