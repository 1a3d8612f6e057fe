namespace Reliability.Service.Hosting;

/// <summary>The configuration does not let the service start. The message is for the operator and names the cure.</summary>
internal sealed class StartupRefusedException(string message) : Exception(message);
