namespace Reliability.DemoData.Scenario;

/// <summary>
/// One way in which modules of a family fail. The mode is drawn by share, whatever the length of the life, so that how a
/// failure is found says nothing of when it came.
/// </summary>
/// <param name="Name">How it shows.</param>
/// <param name="Share">Its share of all failures.</param>
/// <param name="FoundAtOnce">True when it is noticed as it happens; false when the next round finds it.</param>
/// <param name="ByOutput">True when it shows as an output below the threshold and in no other way.</param>
internal sealed record FailureMode(string Name, double Share, bool FoundAtOnce, bool ByOutput = false);
