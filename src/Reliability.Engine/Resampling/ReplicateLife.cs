namespace Reliability.Engine.Resampling;

/// <summary>One life of a plan: from where it is watched and where it would be stopped, on the sample's log axis.</summary>
/// <param name="Entry">Where watching began; negative infinity from the start.</param>
/// <param name="End">Where it is stopped; positive infinity never; NaN where that is drawn anew for each replicate.</param>
/// <param name="FirstStop">Where drawn: the first of the plan's stops that may be its own.</param>
/// <param name="Watched">Where drawn: the share of lives not stopped before that.</param>
internal readonly record struct ReplicateLife(double Entry, double End, int FirstStop = 0, double Watched = 1);
