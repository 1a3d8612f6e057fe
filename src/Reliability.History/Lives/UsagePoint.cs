namespace Reliability.History.Lives;

/// <summary>
/// An accepted reading on the time axis, for the rate at which a module gathers hours. Rates may be taken between points of
/// one stretch only: within it the hours between two points are known and the module was fitted in one host throughout.
/// </summary>
/// <param name="Earliest">The first instant at which it can have been taken, UTC.</param>
/// <param name="Latest">The end of the window in which it was taken, UTC.</param>
/// <param name="Hours">Run-hours gathered since the stretch began.</param>
/// <param name="Stretch">Number of the stretch, rising in time.</param>
public readonly record struct UsagePoint(DateTimeOffset Earliest, DateTimeOffset Latest, double Hours, int Stretch);
