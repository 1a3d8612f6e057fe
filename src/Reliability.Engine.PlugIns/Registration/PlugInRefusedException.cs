namespace Reliability.Engine.PlugIns;

/// <summary>A plug-in cannot be used; the message says why, for the operator.</summary>
internal sealed class PlugInRefusedException(string message, Exception? innerException = null) : Exception(message, innerException);
