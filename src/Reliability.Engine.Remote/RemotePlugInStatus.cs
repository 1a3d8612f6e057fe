namespace Reliability.Engine.Remote;

/// <summary>How a remote plug-in stands.</summary>
/// <param name="Id">Its id.</param>
/// <param name="IsAvailable">Whether it answers.</param>
/// <param name="Reason">Why it does not, in words for the service's callers; null when it does.</param>
/// <param name="IsStarting">Whether it is being started for the first time.</param>
/// <param name="Starts">How often it was started or connected to so far.</param>
public sealed record RemotePlugInStatus(string Id, bool IsAvailable, string? Reason, bool IsStarting, int Starts);
