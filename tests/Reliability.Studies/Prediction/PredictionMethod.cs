using Reliability.Engine.Prediction;

namespace Reliability.Studies.Prediction;

/// <summary>A way of predicting that is studied: how far the prior leans.</summary>
/// <param name="Name">Its name on the page.</param>
/// <param name="Tilt">The lean, given s of the rule and the share of lives that did not fail; null for the maximum-likelihood life taken as known.</param>
/// <param name="OnlyLate">Differs from the others only with late entry.</param>
/// <param name="OnlyPlain">Left out where a prediction takes long.</param>
internal sealed record PredictionMethod(string Name, Func<double, double, PriorTilt>? Tilt, bool OnlyLate = false, bool OnlyPlain = false)
{
    /// <summary>What is studied.</summary>
    public static IReadOnlyList<PredictionMethod> All { get; } =
    [
        new("plug-in", null),
        new("right-Haar", (_, _) => PriorTilt.None),
        new("d=s k=s/2", (s, _) => new(s, s / 2)),
        new("d=c k=c/2", (_, c) => new(c, c / 2), OnlyPlain: true),
        new("d=1 k=1/2", (_, _) => new(1, 0.5), OnlyPlain: true),
        new("d=s k=s/2 w", (s, _) => new(s, s / 2, 1), true),
        new("d=s k=s/2 w2", (s, _) => new(s, s / 2, 2), true),
    ];

    /// <summary>What is studied in a cell.</summary>
    public static IReadOnlyList<PredictionMethod> In(PredictionCell cell) =>
        [.. All.Where(m => (!m.OnlyLate || cell.Plan is WatchPlan.HalfLate or WatchPlan.AllLate) && (cell.IsPlain || !m.OnlyPlain))];
}
