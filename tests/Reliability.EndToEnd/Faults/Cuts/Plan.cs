namespace Reliability.EndToEnd.Faults.Cuts;

/// <summary>How a connection fares.</summary>
/// <param name="Fate">What happens to it.</param>
/// <param name="AfterBytes">After how many bytes, both directions together.</param>
/// <param name="Delay">By how much each piece is late.</param>
/// <param name="PieceBytes">Bytes passed on at a time.</param>
/// <param name="SilentFor">How long a half-open connection stays so before it is closed.</param>
internal readonly record struct Plan(Fate Fate, long AfterBytes, TimeSpan Delay, int PieceBytes, TimeSpan SilentFor);
